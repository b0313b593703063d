"""What is worse than what: the phone ranks what a fold finds as the server does."""

from twoturns.store.severity import SEVERITY, severity


def test_the_phone_ranks_as_the_server_does(peer):
    codes = [*SEVERITY, "of-a-newer-app"]
    assert peer.calls("severity", [[code] for code in codes]) == [severity(code) for code in codes]
    assert severity("of-a-newer-app") < severity(SEVERITY[0])
