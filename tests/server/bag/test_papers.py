"""
Certificates of tools and permits of persons in a bag: only where they are asked for, each the file
that a statement names. Judged by ours, by the browser's twin, and by a verifier that has formats.md
alone (`bag_verifier`).
"""

import io

import pytest

from bag_verifier import check
from bags import BagWorkshop, packed, resealed, unpacked, verdict_of
from twoturns.bag import layout

PDF = b"%PDF-1.4 a certificate"
PERMIT = b"\x89PNG\r\n\x1a\n a permit"


class Papers:
    """A job of Ada's with a wrench that has a certificate, and a permit that has ended."""

    def __init__(self, folder):
        self.workshop = BagWorkshop(folder)
        self.owner = self.workshop.enrol("owner")
        ada, cleo = (self.workshop.phone("mechanic", name) for name in ("Ada", "Cleo"))
        self.work = self.workshop.job(ada)
        self.work.run(ada)
        read = {"step": "belt_on", "name": "torque", "value": "26", "unit": "N·m", "tool": "tw 2"}
        self.work.write(ada, "reading.taken", read)
        self.workshop.deliver(ada)
        self.certificate, self.permit, others = (
            self.workshop.store.blobs.put(data) for data in (PDF, PERMIT, b"%PDF-1.4 Cleo's")
        )
        self.workshop.store.ledger.keep([self.certificate, self.permit, others], self.workshop.now)
        days = {"on": "2026-01-01", "due": "2027-01-01"}
        self.say("tool.calibrated", tool="TW-2", **days, document=self.file(PDF, "application/pdf"))
        given = {"permit": "high_voltage", "on": "2026-01-01"}
        own = self.say(
            "permit.given", person=ada.person, **given, document=self.file(PERMIT, "image/png")
        )
        self.say("permit.ended", permit=own.id, because="it is over")
        self.say(
            "permit.given",
            person=cleo.person,
            **given,
            document=self.file(b"%PDF-1.4 Cleo's", "text/odd"),
        )

    def say(self, kind, **body):
        said = self.owner.write(kind, body)
        assert self.workshop.push(said).refused == []
        return said

    @staticmethod
    def file(data, kind):
        return {"blob": layout.sha256(data), "size": len(data), "type": kind}

    def bag(self, **asked):
        return self.workshop.bag(self.work, **asked)


@pytest.fixture(scope="module")
def papers(tmp_path_factory):
    return Papers(tmp_path_factory.mktemp("papers") / "data")


def papers_in(files):
    return sorted(name for name in files if name.startswith(layout.PAPERS))


def test_papers_leave_where_they_are_asked_for_and_nowhere_else(papers):
    without, with_papers = papers.bag(groups=[]), papers.bag(groups=["papers"])
    assert papers_in(unpacked(without)) == []
    files = unpacked(with_papers)
    assert papers_in(files) == sorted(
        [f"data/papers/{papers.certificate}.pdf", f"data/papers/{papers.permit}.png"]
    )
    assert files[f"data/papers/{papers.certificate}.pdf"] == PDF
    for bag in (without, with_papers):
        records = unpacked(bag)["data/records.txt"].decode()
        assert records.count('"permit.given"') == 1  # of who worked on it, with its end
        assert records.count('"permit.ended"') == 1
        assert verdict_of(bag).holds, verdict_of(bag).findings
        assert check(io.BytesIO(bag)) == papers.workshop.store.ledger.workshop


def test_the_report_links_the_papers_that_lie_in_the_bag_and_tells_of_the_others(papers):
    def report(**asked):
        return unpacked(papers.bag(**asked))["data/report.html"].decode()

    certificate = "Certificate of TW-2, of 2026-01-01"
    shown = report(groups=["papers"])
    assert f'<a href="papers/{papers.certificate}.pdf">{certificate}</a>' in shown
    assert f'<a href="papers/{papers.permit}.png">Permit of ' in shown
    assert ": high voltage</a>" in shown
    assert "given on 2026-01-01; ended: it is over" in shown
    hidden = report(groups=[])
    assert f"<li>{certificate}: " in hidden
    assert 'href="papers/' not in hidden


def test_what_is_done_to_a_paper_is_found_by_command_and_browser_alike(papers, peer, tmp_path):
    files, place = unpacked(papers.bag(groups=["papers"])), tmp_path / "bag.zip"
    name = f"data/papers/{papers.certificate}.pdf"
    rest = {one: data for one, data in files.items() if one != name}
    cases = {
        None: files,
        "blob-changed": files | {name: PDF + b"!"},
        "missing-blob": rest,
        "misplaced-file": rest | {name.replace(".pdf", ".bin"): PDF},
        "undisclosed-file": files | {f"data/papers/{layout.sha256(b'x')}.pdf": b"x"},
    }
    for code, changed in cases.items():
        bag = packed(changed) if code is None else resealed(changed)
        place.write_bytes(bag)
        here = {one.code for one in verdict_of(bag).findings}
        there = {one["code"] for one in peer.call("verifyBag", str(place), {})["findings"]}
        assert here - {"report-differs"} == there, code
        assert (code in here) if code else here == set()


def test_a_paper_that_was_erased_is_told_as_that(papers):
    erased = {"blob": papers.permit, "reason": "asked", "basis": "law"}
    papers.workshop.store.ledger.state("blob.erased", erased, papers.workshop.now)
    bag = papers.bag(groups=["papers"])
    assert papers_in(unpacked(bag)) == [f"data/papers/{papers.certificate}.pdf"]
    assert verdict_of(bag).holds, verdict_of(bag).findings
    assert check(io.BytesIO(bag)) == papers.workshop.store.ledger.workshop
