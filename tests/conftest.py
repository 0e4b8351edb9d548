"""A skipped test is a failed run: every test here can run on every machine that README names."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from gpiozero.pins.mock import MockFactory

# The same examples on every machine: a run that fails must fail again, and none for being slow.
settings.register_profile("steady", derandomize=True, deadline=None)
settings.load_profile("steady")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    skipped = terminalreporter.stats.get("skipped", [])
    if skipped:
        terminalreporter.write_line(f"{len(skipped)} skipped: counted as failed", red=True)


def pytest_sessionfinish(session: pytest.Session) -> None:
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if reporter is not None and reporter.stats.get("skipped"):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


@pytest.fixture(autouse=True, scope="session")
def _own_folders(tmp_path_factory: pytest.TempPathFactory) -> object:
    """No test reads or writes the user's own folders."""
    patch = pytest.MonkeyPatch()
    for name in ("XDG_CACHE_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CONFIG_HOME"):
        patch.setenv(name, str(tmp_path_factory.mktemp(name.lower())))
    yield
    patch.undo()


@pytest.fixture
def pins(monkeypatch: pytest.MonkeyPatch) -> "Iterator[MockFactory]":
    """Simulated GPIO lines, for want of a board."""
    from gpiozero import Device
    from gpiozero.pins.mock import MockFactory

    factory = MockFactory()
    monkeypatch.setattr(Device, "pin_factory", factory)
    yield factory
    factory.reset()
