"""Others' files are kept as they came."""

import hashlib
import tomllib
from pathlib import Path

VENDOR = Path(__file__).parents[2] / "src/cavyround/web/static/web/vendor"


def test_every_vendored_file_has_the_hash_it_came_with() -> None:
    told = tomllib.loads((VENDOR / "vendored.toml").read_text(encoding="utf-8"))
    hashes = {name: hashlib.sha256((VENDOR / name).read_bytes()).hexdigest() for name in told}
    assert hashes == {name: one["sha256"] for name, one in told.items()}


def test_no_file_is_vendored_without_being_told_with_licence_and_version() -> None:
    told = tomllib.loads((VENDOR / "vendored.toml").read_text(encoding="utf-8"))
    here = {path.name for path in VENDOR.iterdir() if path.suffix in {".js", ".css", ".woff2"}}
    assert here == set(told)
    assert all({"package", "version", "licence", "sha256"} <= set(one) for one in told.values())


def test_each_vendored_package_has_its_licence_beside_it() -> None:
    assert any(path.name.endswith("LICENSE.txt") for path in VENDOR.iterdir())
