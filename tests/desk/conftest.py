"""What all tests of the desk's pages share."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from slingwright.desk.pages import opened


@pytest.fixture(autouse=True, scope="session")
def _patient_pages() -> Iterator[None]:
    """A page opened by its link waits for all of the answer, however busy the machine is."""
    with pytest.MonkeyPatch.context() as patch:
        for name in ("_FIRST_S", "_WHOLE_S"):
            patch.setattr(opened, name, 120.0)
        yield
