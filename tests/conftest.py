"""What holds for every test: no font of the machine and no file of its user's has a say."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from bigsign.fonts.folders import INSTEAD


@pytest.fixture(scope="session", autouse=True)
def _nobodys_machine(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(INSTEAD, "")
        cache = str(tmp_path_factory.mktemp("cache"))
        patch.setenv("XDG_CACHE_HOME", cache)
        patch.setenv("LOCALAPPDATA", cache)
        yield
