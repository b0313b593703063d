from pathlib import Path

import pytest

from workshop import Workshop


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path / "data")
