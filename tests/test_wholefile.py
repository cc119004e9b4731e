"""Files written whole or not at all."""

import os
import stat

import pytest
from glasscan.files import whole, write_whole


def test_what_fails_on_the_way_leaves_the_old_file_and_nothing_beside_it(tmp_path):
    """Half a text never stands under the name."""
    path = write_whole(tmp_path / "new" / "kept.txt", "old\n")

    def broken():
        with whole(path) as file:
            file.write(b"half of the n")
            raise RuntimeError

    with pytest.raises(RuntimeError):
        broken()
    assert path.read_bytes() == b"old\n"
    assert list(path.parent.iterdir()) == [path]
    assert write_whole(path, "new, with ü\n").read_text(encoding="utf-8") == "new, with ü\n"


@pytest.mark.skipif(os.name == "nt", reason="rights and links of POSIX")
def test_rights_links_and_devices_are_those_of_an_open_file(tmp_path):
    """Others may read what they could read of any new file; a link stays one; a device is not replaced."""
    plain, made = tmp_path / "plain", tmp_path / "made"
    plain.write_text("x")
    write_whole(made, "x")
    assert stat.S_IMODE(made.stat().st_mode) == stat.S_IMODE(plain.stat().st_mode)
    link = tmp_path / "link"
    link.symlink_to(made)
    write_whole(link, "through the link")
    assert link.is_symlink()
    assert made.read_text() == "through the link"
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    ear = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    write_whole(pipe, "heard")
    assert os.read(ear, 9) == b"heard"
    os.close(ear)
    assert stat.S_ISFIFO(pipe.stat().st_mode)


def test_a_long_name_is_no_trouble(tmp_path):
    """The name under which it is written first is no longer than the file's own may be."""
    path = tmp_path / ("ü" * 100 + ".json")
    assert write_whole(path, "{}").exists()
