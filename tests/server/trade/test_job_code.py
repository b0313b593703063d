"""The code of a job on stickers and tags is the same, whoever prints it."""

from twoturns.ledger.forms import UUID7, is_formed
from twoturns.trade.job_code import job_code
from workshop import uuid7


def test_phone_and_workshop_call_a_job_alike(peer):
    jobs = [uuid7() for _ in range(50)]
    assert all(is_formed(job, UUID7) for job in jobs)
    assert peer.calls("job_code", [[job] for job in jobs]) == [job_code(job) for job in jobs]
