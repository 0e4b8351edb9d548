"""The benches say what is wrong with what they were told."""

import pytest

from tests.bench import hear


@pytest.mark.parametrize(("split", "bed"), [("tuning", "old headstock"), ("test", "clatter")])
def test_a_bed_that_the_split_does_not_have_is_named(
    split: str, bed: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit):
        hear.run(["--split", split, "--beds", bed])
    assert f"split {split} has no bed '{bed}', but " in capsys.readouterr().err
