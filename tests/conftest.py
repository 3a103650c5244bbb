"""Shared by all tests: the ``outside`` marker with its table, and pytester to test it."""

from __future__ import annotations

pytest_plugins = ("outside_table", "pytester")
