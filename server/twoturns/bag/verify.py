"""
Checking a bag: what it proves, who asserted it, and what it does not prove.

From the outside in: the zip and its manifests (`read`), the form of each text (`parse`), each
record's signature and the keys back to the first one of the workshop, every blob against what the
entries and `disclosure.json` say of it (`disclosed`), the bundle, each record's place under the
signed checkpoint, what the workshop says that it held of the job, and at last the report, made
anew. A later check goes on with what the
ones before left standing, so that one changed byte does not hide another.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import BinaryIO, Final

from twoturns.bag import account as accounts
from twoturns.bag import layout, report
from twoturns.bag.account import Account
from twoturns.bag.assess import account_of
from twoturns.bag.completeness import NOT_PROVEN, has_head, head_findings, missing_head
from twoturns.bag.contents import Contents, by_blob, roster_of
from twoturns.bag.disclosed import disclosure_findings
from twoturns.bag.evidence import BagUnreadable, Finding
from twoturns.bag.growth import KEPT, Since, compare, no_path, opened_with_any_key, path_of_answer
from twoturns.bag.parse import parse
from twoturns.bag.read import AGAIN, Bag, manifest_findings, read_bag
from twoturns.bag.recompute import can_be_measured, is_as_sharp
from twoturns.bag.tell import head_code, tell
from twoturns.bag.told import Told
from twoturns.ledger import checkpoint, entry
from twoturns.ledger.checkpoint import Checkpoint
from twoturns.ledger.entry import Entry
from twoturns.ledger.errors import BadCheckpoint, LedgerError
from twoturns.ledger.tree import verify_inclusion
from twoturns.procedure import shape
from twoturns.procedure.compile.bundle import check_bundle
from twoturns.procedure.errors import BundleError, NewerForm
from twoturns.words import t
from twoturns.words.en.bag import verify as words

_FORGED: Final = t(words.NOT_FROM_LEDGER, again=AGAIN)
_READ_THIS: Final = t(words.OTHER_EDITION_HINT)
_NOTHING_LEFT_OUT: Final = t(words.NOTHING_LEFT_OUT)


def _grew(one: Checkpoint, other: Checkpoint) -> str:
    if one.size == other.size:
        return t(words.SAME_LEDGER)
    old, new = sorted((one, other), key=lambda each: each.size)
    code = head_code(old.size, old.root)
    return t(words.GREW_OUT_OF, size=new.size, code=code)


@dataclass(frozen=True)
class Verdict:
    """
    What checking a bag came to.

    `findings` are what does not hold, `unshown` what had to be shown and is not (that it is whole,
    that it grew from what was kept), `unchecked` what this program does not know how to compute
    anew; the workshop's signed head covers it all the same. `is_trusted`: its fingerprint is the
    one the reader has from paper. `as_of` is the day on which it was made, and the records the
    ledger then had.
    """

    findings: tuple[Finding, ...]
    unshown: tuple[Finding, ...] = ()
    unchecked: tuple[str, ...] = ()
    workshop: str = ""
    is_trusted: bool = False
    as_of: tuple[str, int] | None = None
    proven: tuple[str, ...] = ()
    asserted: tuple[tuple[str, str], ...] = ()
    unproven: tuple[str, ...] = ()
    account: Account | None = None
    told: Told | None = None
    report: str | None = None

    @property
    def holds(self) -> bool:
        """Whether it passed every check, and all was shown that had to be."""
        return not self.findings and not self.unshown


def verify(
    file: BinaryIO,
    *,
    key: str | None = None,
    kept: str | None = None,
    consistency: bytes | None = None,
    measures_photos: bool = False,
) -> Verdict:
    """
    Check a zipped bag.

    Args:
        file: The bag, open for reading and seekable.
        key: The fingerprint of the workshop that the reader trusts, from paper.
        kept: A signed checkpoint of that workshop that the reader kept.
        consistency: What the workshop answered at `/api/consistency`, between the two sizes.
        measures_photos: Whether photos are measured anew, as their phones did. All are decoded
            for it, which takes fifty times as long as all else.
    """
    try:
        bag, findings = read_bag(file)
    except BagUnreadable as error:
        return Verdict((Finding(error.code, t(words.THE_FILE), str(error), error.hint),))
    check = _Check(bag, [*findings, *manifest_findings(bag)], measures_photos=measures_photos)
    return check.verdict(key, kept, consistency)


class _Check:
    """The checks of one bag. Each adds what it finds; one that finds nothing, what it proves."""

    def __init__(self, bag: Bag, findings: list[Finding], *, measures_photos: bool) -> None:
        self.bag = bag
        self.measures_photos = measures_photos
        self.parsed = parse(bag)
        self.findings = [*findings, *self.parsed.findings]
        self.unshown: list[Finding] = []
        self.unchecked: list[str] = []
        self.is_trusted = False
        self.proven: list[str] = []
        self.unproven: list[str] = []
        opened = self.parsed.opened
        self.workshop = opened.entry.workshop if opened else ""
        self.roster = roster_of(self.workshop, self.parsed.records)
        self.forged: set[int] = set()

    def verdict(self, key: str | None, kept: str | None, consistency: bytes | None) -> Verdict:
        opened = self.parsed.opened
        if opened is None:
            what = t(words.JOB_NEVER_OPENED, job=f"{self.parsed.job!r}")
            self._take([Finding("no-job", layout.RECORDS, what, AGAIN)], "")
            return self._verdict()
        self._unread()
        self._take(self._signatures(), self._signed_by())
        self._keys()
        if key is not None:
            said = t(words.WORKSHOP_KNOWN)
            self.is_trusted = self._take(self._fingerprint(key), said)
        self._take(disclosure_findings(self.bag, self.parsed, self.roster), self._shown())
        bundle = self._bundle(opened.entry.body["bundle"])
        head = self._head()
        if head is None:
            return self._verdict()
        self._take(self._inclusion(head), self._included(head))
        self._whole(head, self.roster.workshop_key or "")
        self._grown(head, kept, consistency)
        return self._told(head, bundle)

    def _take(self, findings: Iterable[Finding], proven: str) -> bool:
        """Take in what a check found; where that is nothing, it has proven something."""
        found = list(findings)
        self.findings += found
        if not found:
            self.proven.append(proven)
        return not found

    def _unread(self) -> None:
        """Say which records only a newer program can judge: they may change what is told."""
        unread = [str(index) for index, one in self.parsed.records if not one.entry.is_known]
        if unread:
            self.unchecked.append(t(words.UNREAD_RECORDS, unread=", ".join(unread)))

    # Keys and signatures.

    def _signatures(self) -> Iterator[Finding]:
        for index, one in self.parsed.records:
            what = self._forgery(one.entry)
            if what is not None:
                self.forged.add(index)  # it stays out of the account: it says nothing
                code, fact = what
                yield Finding(
                    code, layout.RECORDS, t(words.RECORD, index=index, fact=fact), _FORGED
                )

    def _forgery(self, said: Entry) -> tuple[str, str] | None:
        key = self.roster.key_of(said)
        if said.workshop != self.workshop:
            return "foreign-record", t(words.OTHER_WORKSHOP, workshop=said.workshop)
        if key is None or self.roster.device(said.device) is None:
            return "unknown-device", t(words.DEVICE_NOT_INVITED, device=said.device)
        if not entry.verify(said, key):
            return "wrong-signature", t(words.DEVICE_DID_NOT_SIGN, device=said.device)
        return None

    def _signed_by(self) -> str:
        devices = {one.entry.device for _, one in self.parsed.records}
        return t(
            words.RECORDS_SIGNED,
            records=len(self.parsed.records),
            devices=len(devices),
            workshop=self.workshop,
        )

    def _keys(self) -> None:
        """Say what the bag knows of a key that was lost or stolen, and what it cannot know."""
        self.proven += [
            t(words.KEY_RECOVERED, size=one.size, index=one.index) for one in self.roster.recoveries
        ]
        self.unproven.append(t(words.UNPROVEN_KEY))

    def _fingerprint(self, key: str) -> Iterator[Finding]:
        if "".join(key.split()) != self.workshop:
            what = t(words.OTHER_FINGERPRINT, workshop=self.workshop, key=key)
            yield Finding("other-workshop", layout.RECORDS, what, _FORGED)

    # Blobs and bundle.

    def _shown(self) -> str:
        shown = [name for name in self.bag.digests if layout.blob_of(name)]
        signed = [name for name in shown if not name.startswith(layout.COPIES)]
        return t(words.BLOBS_AS_SIGNED, signed=len(signed))

    def _bundle(self, signed: str) -> shape.Bundle | None:
        """Return the bundle, if it is the one the job was opened with and can be read."""
        found = self.bag.digests.get(layout.BUNDLE)
        if found is None:
            return None  # that it is missing has its finding already
        if found != signed:
            what = t(words.OTHER_PROCEDURE, found=found, signed=signed)
            self._take([Finding("other-bundle", layout.BUNDLE, what, _FORGED)], "")
            return None
        try:
            bundle = check_bundle(self.bag.texts[layout.BUNDLE])
        except NewerForm as error:
            self.unchecked.append(f"{layout.BUNDLE}: {error}. {error.hint}")
            return None
        except BundleError as error:
            self._take([Finding("bundle", layout.BUNDLE, str(error), error.hint)], "")
            return None
        self.proven.append(t(words.PROCEDURE_AS_OPENED))
        return bundle

    # The ledger.

    def _head(self) -> Checkpoint | None:
        """Return what the checkpoint says, if the workshop's current key signed it."""
        try:
            if self.roster.workshop_key is None:
                raise BadCheckpoint(t(words.NO_WORKSHOP_KEY), hint=_FORGED)
            return checkpoint.open(self.parsed.checkpoint, self.roster.workshop_key, self.workshop)
        except LedgerError as error:
            self._take([Finding("checkpoint", layout.CHECKPOINT, str(error), error.hint)], "")
            return None

    def _inclusion(self, head: Checkpoint) -> Iterator[Finding]:
        paths = self.parsed.paths
        if self.parsed.size != head.size:
            what = t(words.PATHS_OF_OTHER_SIZE, here=self.parsed.size, size=head.size)
            yield Finding("other-size", layout.PROOFS, what, _FORGED)
        for index, one in self.parsed.records:
            if index not in paths:
                what = t(words.RECORD_WITHOUT_PATH, index=index)
                yield Finding("no-path", layout.PROOFS, what, AGAIN)
            elif not verify_inclusion(one.leaf, index, head.size, paths[index], head.root):
                what = t(words.RECORD_NOT_IN_LEDGER, index=index)
                yield Finding("not-included", layout.RECORDS, what, _FORGED)
        for index in sorted(paths.keys() - {index for index, _ in self.parsed.records}):
            what = t(words.PATH_WITHOUT_RECORD, index=index)
            yield Finding("no-record", layout.PROOFS, what, AGAIN)

    def _included(self, head: Checkpoint) -> str:
        return t(
            words.RECORDS_IN_LEDGER,
            size=head.size,
            head_code=head_code(head.size, head.root),
        )

    def _grown(self, head: Checkpoint, kept: str | None, consistency: bytes | None) -> None:
        """Hold the bag's checkpoint against the one it was made since, and one that was kept."""
        since = Since(self.bag, self.roster)
        found = list(since.findings(head))
        self.findings += found
        if since.checkpoint and not found:
            self.proven.append(_grew(since.checkpoint, head))
        if kept is None:
            return
        held = opened_with_any_key(kept, self.roster)
        if held is None:
            what = t(words.NOT_SIGNED)
            self.findings.append(Finding("kept-checkpoint", KEPT, what, t(words.NOT_SIGNED_HINT)))
            return
        path = since.path_from(held) if consistency is None else path_of_answer(consistency)
        if consistency is not None and path is None:
            self.findings.append(no_path())
            return
        differs = compare(held, head, path)
        if differs is None:
            self.proven.append(_grew(held, head))
        else:
            unproven = differs.code == "growth-not-proven"
            (self.unshown if unproven else self.findings).append(differs)

    # Whether all of it is here.

    def _whole(self, head: Checkpoint, key: str) -> None:
        if has_head(self.bag):
            found = head_findings(self.bag, self.parsed, head, key, self.workshop)
            said = t(
                words.AS_OF,
                made_on=self.parsed.made_on,
                size=head.size,
                nothing_left_out=_NOTHING_LEFT_OUT,
            )
            self._take(found, said)
        elif self.roster.edition_at(head.size - 1) > 1:
            self.findings.append(missing_head())
        else:
            self.unshown.append(NOT_PROVEN)

    # The report.

    def _told(self, head: Checkpoint, bundle: shape.Bundle | None) -> Verdict:
        if bundle is None:
            return self._verdict(head)
        names = {n for n in self.bag.digests if layout.blob_of(n)}
        contents = Contents(
            job=self.parsed.job,
            workshop=self.workshop,
            records=tuple(one for one in self.parsed.records if one[0] not in self.forged),
            checkpoint=head,
            bundle=bundle,
            disclosures=self.parsed.disclosures,
            names=by_blob(names),
            read=self.bag.read,
            sized=lambda name: self.bag.members[name].file_size,
            made_on=self.parsed.made_on,
            is_whole=has_head(self.bag),
        )
        if not any(one.entry.kind == "job.opened" for _, one in contents.of_job):
            return self._verdict(head)
        account = account_of(contents)
        told = tell(account, contents)
        self._measure_photos(contents)
        anew = report.render(told, contents)
        self._compare_account(account)
        self._compare_report(anew)
        self._take(self._info_findings(told), t(words.DESCRIPTION_RIGHT))
        return replace(
            self._verdict(head),
            asserted=told.people,
            unproven=(*self.unproven, *told.unproven),
            account=account,
            told=told,
            report=anew,
        )

    def _verdict(self, head: Checkpoint | None = None) -> Verdict:
        return Verdict(
            findings=tuple(self.findings),
            unshown=tuple(self.unshown),
            unchecked=tuple(self.unchecked),
            workshop=self.workshop,
            is_trusted=self.is_trusted,
            as_of=None if head is None else (self.parsed.made_on, head.size),
            proven=tuple(self.proven),
            unproven=tuple(self.unproven),
        )

    def _measure_photos(self, contents: Contents) -> None:
        """Measure photos anew where that is asked for: it is a check of phones, not of the bag."""
        photos = [
            one for _, each in contents.of_job if can_be_measured(one := each.entry, contents)
        ]
        if not self.measures_photos:
            if photos:
                self.unchecked.append(t(words.PHOTOS_NOT_MEASURED, photos=len(photos)))
            return
        measured = {one.id: is_as_sharp(one.body, contents) for one in photos}
        same = sum(each is True for each in measured.values())
        if same:
            self.proven.append(t(words.PHOTOS_SHARP, same=same))
        self.unproven += [
            t(words.UNPROVEN_SHARPNESS, name=one.body["name"], step=one.body["step"])
            for one in photos
            if measured[one.id] is False
        ]

    def _compare_account(self, anew: Account) -> None:
        """Compare the account with the one made now, if it is of the edition that is made now."""
        found = self.bag.texts.get(layout.ACCOUNT)
        if found is None:
            return  # a bag of before edition 2, or it has its finding already
        edition = accounts.edition_of(found)
        if edition not in (None, accounts.EDITION):
            self.unchecked.append(
                t(
                    words.OTHER_EDITION,
                    account=layout.ACCOUNT,
                    edition=edition,
                    read_this=_READ_THIS,
                )
            )
            return
        what = t(words.ACCOUNT_WRONG)
        hint = t(words.ACCOUNT_WRONG_HINT)
        differs = [Finding("account-differs", layout.ACCOUNT, what, hint)]
        self._take([] if found == anew.to_json() else differs, t(words.ACCOUNT_RIGHT))

    def _compare_report(self, anew: str) -> None:
        """Compare the page with the one made now, if it is of the form that is made now."""
        text = self.bag.texts.get(layout.REPORT)
        if text is None:
            return  # that it is missing has its finding already
        found = text.decode("utf-8", "replace")
        form = report.form_of(found)
        if form == report.FORM:
            findings = self._report_findings(found, anew)
            self._take(findings, t(words.REPORT_RIGHT))
        else:
            self.unchecked.append(
                t(words.OTHER_FORM, report=layout.REPORT, form=form, read_this=_READ_THIS)
            )

    def _report_findings(self, found: str, anew: str) -> Iterator[Finding]:
        differs = report.differs(found, anew)
        if differs:
            hint = t(words.REPORT_WRONG_HINT)
            yield Finding("report-differs", layout.REPORT, differs, hint)

    def _info_findings(self, told: Told) -> Iterator[Finding]:
        payload = self.bag.payload()
        expected = layout.bag_info(
            job=self.parsed.job,
            workshop_name=told.workshop_name,
            made_on=self.parsed.made_on,
            oxum=(sum(self.bag.members[name].file_size for name in payload), len(payload)),
            head=told.head,
        )
        if self.bag.texts.get(layout.BAG_INFO) not in (None, expected.encode()):
            what = t(words.DESCRIPTION_WRONG)
            yield Finding("bag-info", layout.BAG_INFO, what, AGAIN)
