"""Shared by all tests: the ``outside`` marker with its table, and pytester to test it."""

from __future__ import annotations

import os

import pytest

pytest_plugins = ("outside_table", "pytester")


@pytest.fixture(scope="session", autouse=True)
def cache_of_its_own(tmp_path_factory):
    """Placed diagrams of the tests are kept for one run, by all its processes together, and never with those of the user."""
    base = tmp_path_factory.getbasetemp()
    folder = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "cache-of-all"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(folder))
        yield
