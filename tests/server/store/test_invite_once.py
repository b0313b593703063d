"""One invitation lets in one device, whichever of the server's processes is asked."""

import pytest

from twoturns.ledger.errors import EnrolmentRefused
from twoturns.store import Store
from twoturns.store.enrolment import let_in
from workshop import Phone, Workshop


def test_a_process_that_saw_neither_invitation_nor_its_use_refuses_a_second_device(tmp_path):
    workshop = Workshop(tmp_path / "data")
    other = Store(workshop.store.folder)  # another process, with a roster of its own
    other.ledger.state("lot.recalled", {"lot": "B-7", "because": "cracked"}, workshop.now)
    invitation, secret, person = workshop.invite("mechanic")
    first, second = (
        workshop.enrolment(
            Phone(workshop.store.ledger.workshop, person, "mechanic"), invitation, secret
        ).line
        for _ in range(2)
    )
    let_in(workshop.store, first, workshop.now)
    with pytest.raises(EnrolmentRefused, match="came in on this invitation before"):
        let_in(other, second, workshop.now)
