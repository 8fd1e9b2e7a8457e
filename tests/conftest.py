"""Settings of every test: hypothesis draws the same examples each time."""

import os

# Tests run side by side, one a core; a second thread in each would only get in the way. Set
# before numpy is loaded, and passed on to the processes that tests start.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import pytest
from hypothesis import settings

settings.register_profile("lift", derandomize=True, deadline=None, max_examples=60, database=None)
settings.load_profile("lift")


def pytest_collection_modifyitems(items):
    """Files with slow tests first, so that no core is left alone with one at the end."""
    slow = {item.path for item in items if item.get_closest_marker("slow")}
    items.sort(key=lambda item: item.path not in slow)


@pytest.fixture
def lift(monkeypatch, capsys):
    """Call the command line as typed; exit code, stdout and stderr."""
    from lift.cli import main

    def call(*words):
        monkeypatch.setattr("sys.argv", ["lift", *map(str, words)])
        with pytest.raises(SystemExit) as stop:
            main()
        printed = capsys.readouterr()
        return stop.value.code, printed.out, printed.err

    return call


@pytest.fixture
def answered(lift):
    """Call what must succeed without a complaint; what it prints."""

    def call(*words):
        code, out, err = lift(*words)
        assert (code, err) == (0, "")
        return out

    return call


@pytest.fixture
def refused(lift):
    """Call what must be refused: one line on stderr, nothing on stdout, exit 2; that line."""

    def call(*words):
        code, out, err = lift(*words)
        assert (code, out) == (2, "")
        assert err.startswith("lift: ")
        assert err.count("\n") == 1
        assert "Traceback" not in err
        return err.strip()

    return call


@pytest.fixture(scope="session")
def truth():
    """Curves behind the invented laboratory, away from the shipped ones."""
    from lift import default_curves

    true = {"lightening_rate": 0.15, "persulfate_rate": 0.4, "half_oxidised_yield": 0.3}
    return default_curves().replace(name="truth", **true)


@pytest.fixture(scope="session")
def laboratory(truth):
    """An invented laboratory of eight swatches; no test changes it."""
    from lift.research.swatches.generate import design, synthetic_laboratory

    return synthetic_laboratory(design(8), truth, seed=11)


@pytest.fixture(scope="session")
def tuning(laboratory):
    """Tuning to that laboratory, made once; no test changes it."""
    from lift.research.tuning.tune import tune

    return tune(laboratory.swatches, starts=1)
