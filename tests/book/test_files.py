"""Files under their SHA-256: kept once, and mended where the disk changed one."""

from hashlib import sha256

import pytest

from hazmat.book import files

pytestmark = pytest.mark.django_db
DATA = b"a picture that no other test keeps"


def test_a_file_is_kept_under_the_digest_of_its_bytes() -> None:
    assert files.keep(DATA) == sha256(DATA).hexdigest()
    path = files.path_of(sha256(DATA).hexdigest())
    before = path.stat()
    assert path.read_bytes() == DATA
    assert files.keep(DATA) == sha256(DATA).hexdigest()
    assert path.stat().st_ino == before.st_ino


@pytest.mark.parametrize("place", [0, -1])
def test_a_file_of_the_same_length_with_one_flipped_byte_is_mended(place: int) -> None:
    path = files.path_of(files.keep(DATA))
    spoilt = bytearray(DATA)
    spoilt[place] ^= 1
    path.write_bytes(spoilt)
    assert files.keep(DATA) == path.name
    assert path.read_bytes() == DATA
    assert [one.name for one in path.parent.iterdir() if one.name.startswith(".fresh-")] == []


@pytest.mark.parametrize("name", ["", "a" * 63, "A" * 64, "../" + "a" * 61])
def test_only_a_digest_names_a_file(name: str) -> None:
    with pytest.raises(ValueError, match="64 hexadecimal digits"):
        files.path_of(name)
