"""
What a job is called on a sticker or a tag: short enough to be read out and typed.

Two jobs of one workshop may share a code: both are found by it. Common practice, no source. The
phone's twin is `client/src/work/job-code.ts`.
"""


def job_code(job: str) -> str:
    """
    Return the last eight hex digits of a job's id, random ones (RFC 9562, section 5.7), in groups.

    >>> job_code("0193f4c2-7a10-7c3e-8b2d-6f5e4d3c2b1a")
    '4d3c-2b1a'
    """
    digits = job.replace("-", "")[-8:]
    return f"{digits[:4]}-{digits[4:]}"
