"""The one place that finds the files which travel with the program."""

import pytest

from app.resource_files import read_resource, resource_names, resource_path, sample_path


def test_a_resource_is_found_by_its_name():
    assert resource_path("standards/lengths.toml").read_bytes() == read_resource(
        "standards/lengths.toml"
    )
    assert "lengths.toml" in resource_names("standards", suffix=".toml")
    assert "Drawcord" in read_resource("LICENSE.txt").decode()


@pytest.mark.parametrize("name", ["", "../pyproject.toml", "/etc/hosts", "a\\b", "a/../../b"])
def test_a_name_that_leads_out_is_refused(name):
    with pytest.raises(ValueError, match="no name inside"):
        resource_path(name)


def test_what_is_missing_is_said():
    with pytest.raises(FileNotFoundError, match="install it again"):
        resource_path("standards/none.toml")
    with pytest.raises(FileNotFoundError, match="sample_plans/none"):
        sample_path("none")
