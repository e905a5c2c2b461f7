"""A file is written whole or not at all, by one writer at a time, and never over what nobody asked to lose."""

from __future__ import annotations

import itertools
import os
import re
import signal
import stat
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO

import faults_kills
import pytest
from faults_kills import kill_at

from jamcalc.errors import FileStays, InputError, JamcalcError
from jamcalc.kitchen import home_file
from jamcalc.reading import safefile
from jamcalc.reading.safefile import rewrite, write_whole

OLD, NEW = "title = 'old'\n", "title = 'new'\n" * 4_000

pytestmark = pytest.mark.filterwarnings("ignore:.*fork:DeprecationWarning")  # numpy's idle threads hold no lock of ours
needs_fork = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
needs_root = pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root can make files of two users")


@pytest.fixture
def place(tmp_path: Path) -> Path:
    path = tmp_path / "plum.toml"
    path.write_text(OLD, encoding="utf-8")
    return path


def names(folder: Path) -> list[str]:
    return sorted(entry.name for entry in folder.iterdir())


# ---------------------------------------------------------------- never over another


def test_the_same_content_is_success_and_other_content_stays(place: Path) -> None:
    before = place.stat()
    assert write_whole(place, OLD) is False
    with pytest.raises(FileStays, match="other content") as stays:
        write_whole(place, NEW)
    assert stays.value.replaceable
    assert place.stat() == before
    assert write_whole(place, NEW, replace=True) is True
    assert place.read_text(encoding="utf-8") == NEW
    assert write_whole(place.with_name("new.toml"), OLD) is True
    assert write_whole(place.with_name("bytes.json"), b"{}") is True
    assert names(place.parent) == ["bytes.json", "new.toml", "plum.toml"]


@pytest.mark.parametrize("way", ["itself", "link", "hard link", "spelling", "not there yet"])
def test_what_must_never_be_written_over(place: Path, way: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(place.parent)
    (place.parent / "sub").mkdir()
    other = place.with_name("other.toml")
    if way == "link":
        other.symlink_to(place)
    elif way == "hard link":
        other.hardlink_to(place)
    elif way == "spelling":
        other = Path("sub/../plum.toml")
    elif way == "itself":
        other = place
    else:
        place.unlink()
        other = Path("sub/../plum.toml")
    with pytest.raises(FileStays, match="reads here") as stays:
        write_whole(other, NEW, replace=True, never=(place,))
    assert not stays.value.replaceable
    assert not place.exists() if way == "not there yet" else place.read_text(encoding="utf-8") == OLD


def test_a_link_stays_a_link(place: Path) -> None:
    link = place.with_name("link.toml")
    link.symlink_to(place.name)
    write_whole(link, NEW, replace=True)
    assert link.is_symlink()
    assert place.read_text(encoding="utf-8") == NEW


@pytest.mark.parametrize("umask", [0o022, 0o077, 0o000])
def test_permissions_are_kept_whatever_the_umask(place: Path, umask: int) -> None:
    before = os.umask(umask)
    try:
        for mode in (0o666, 0o600, 0o664):
            place.chmod(mode)
            write_whole(place, f"{mode}", replace=True)
            assert stat.S_IMODE(place.stat().st_mode) == mode
            rewrite(place, lambda: "rewritten")
            assert stat.S_IMODE(place.stat().st_mode) == mode
        write_whole(place.with_name("new.toml"), NEW)
        assert stat.S_IMODE(place.with_name("new.toml").stat().st_mode) == 0o666 & ~umask
    finally:
        os.umask(before)


def test_a_write_protected_file_stays(place: Path) -> None:
    place.chmod(0o444)
    for write in (lambda: write_whole(place, NEW), lambda: write_whole(place, NEW, replace=True), lambda: rewrite(place, lambda: NEW)):
        with pytest.raises(FileStays, match="write-protected") as stays:
            write()
        assert not stays.value.replaceable
    assert write_whole(place, OLD) is False
    assert place.read_text(encoding="utf-8") == OLD
    assert names(place.parent) == ["plum.toml"]


@needs_root
def test_another_users_file_keeps_its_owner_under_root(place: Path) -> None:
    os.chown(place, 12345, 23456)
    write_whole(place, NEW, replace=True)
    assert (place.stat().st_uid, place.stat().st_gid) == (12345, 23456)


@needs_root
@needs_fork
def test_another_users_file_stays(place: Path) -> None:
    """Though its permissions would let it be replaced: it would belong to someone else from then on."""
    for folder in (place.parent, *list(place.parent.parents)[:3]):
        folder.chmod(0o777)
    place.chmod(0o666)
    said = as_user(12345, lambda: write_whole(place, NEW, replace=True))
    assert said == f"FileStays: {place} belongs to another user or group, and stays as it is"
    assert place.read_text(encoding="utf-8") == OLD
    own = place.with_name("own.toml")
    assert as_user(12345, lambda: write_whole(own, OLD)) == "True"
    own.chmod(0o600)
    assert as_user(12345, lambda: write_whole(own, NEW, replace=True)) == "True"
    assert (own.stat().st_uid, stat.S_IMODE(own.stat().st_mode)) == (12345, 0o600)
    os.chown(own, 12345, 23456)
    assert "another user or group" in as_user(12345, lambda: write_whole(own, OLD, replace=True))
    place.parent.chmod(0o755)
    assert "cannot be written: permission denied" in as_user(12345, lambda: write_whole(place.with_name("x.toml"), NEW))
    assert names(place.parent) == ["own.toml", "plum.toml"]


def as_user(user: int, work: Callable[[], object]) -> str:
    """What comes of the work in a process of another user."""
    out, back = os.pipe()
    child = os.fork()
    if not child:
        try:
            os.setgroups([])
            os.setgid(user)
            os.setuid(user)
            said = str(work())
        except BaseException as error:
            said = f"{type(error).__name__}: {error}"
        os.write(back, said.encode())
        os._exit(0)
    os.close(back)
    with open(out, encoding="utf-8") as pipe:
        said = pipe.read()
    os.waitpid(child, 0)
    return said


# ---------------------------------------------------------------- names


def test_a_long_name_leaves_room_for_the_file_beside_it(tmp_path: Path) -> None:
    path = tmp_path / ("p" * 250 + ".toml")
    write_whole(path, OLD)
    rewrite(path, lambda: NEW)
    assert names(tmp_path) == [path.name]
    with pytest.raises(InputError, match="cannot be written"):
        write_whole(tmp_path / ("p" * 251 + ".toml"), OLD)
    with pytest.raises(InputError, match="no such name"):
        write_whole(Path("\0.toml"), OLD)


def test_the_name_is_told_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "[a] \x1b \u00e9.toml").write_text(OLD, encoding="utf-8")
    with pytest.raises(FileStays, match=r"\[a\] \\x1b \u00e9\.toml is there"):
        write_whole(tmp_path / "[a] \x1b \u00e9.toml", NEW)


def test_files_of_the_users_own_are_never_touched(place: Path) -> None:
    own = [f".{place.name}.{middle}.new" for middle in ("mine", "123", "2024")] + [f".{place.name}.lock", ".jamcalc-0.new"]
    for name in own:
        place.with_name(name).write_text("mine", encoding="utf-8")
    write_whole(place, "# new", replace=True)
    home_file.change(place, {"lids": "3"})
    assert all(place.with_name(name).read_text(encoding="utf-8") == "mine" for name in own)


def test_what_a_killed_writer_left_is_taken_over_by_the_next_in_its_folder(place: Path) -> None:
    place.with_name(safefile.BESIDE).write_text(NEW * 2, encoding="utf-8")
    other = place.with_name("other.toml")
    assert write_whole(other, OLD)
    assert other.read_text(encoding="utf-8") == OLD
    assert names(place.parent) == ["other.toml", "plum.toml"]


def test_no_link_is_followed_from_the_file_beside(place: Path) -> None:
    """In a folder that is everybody's, another might put one there."""
    place.with_name(safefile.BESIDE).symlink_to(place)
    with pytest.raises(InputError, match=r"other\.toml cannot be written"):
        write_whole(place.with_name("other.toml"), NEW)
    assert place.read_text(encoding="utf-8") == OLD


# ---------------------------------------------------------------- turns


def test_a_writer_that_stands_still_is_waited_for_and_no_longer(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert safefile.WAIT_S <= 10
    monkeypatch.setattr(safefile, "WAIT_S", 0.05)
    for write in (lambda: write_whole(place, NEW, replace=True), lambda: rewrite(place, lambda: NEW)):
        with held(place), pytest.raises(InputError, match="being changed by another"):
            write()
        assert place.read_text(encoding="utf-8") == OLD
        write()
        assert place.read_text(encoding="utf-8") == NEW
        assert names(place.parent) == ["plum.toml"]
        write_whole(place, OLD, replace=True)


def held(place: Path) -> IO[bytes]:
    """The turn of another writer, which ends where it is closed."""
    return open(safefile._turn(place, place.with_name(safefile.BESIDE)), "wb")


def test_a_refused_rewrite_leaves_nothing(place: Path) -> None:
    def refuse() -> str:
        raise JamcalcError("no")

    with pytest.raises(JamcalcError):
        rewrite(place, refuse)
    assert names(place.parent) == ["plum.toml"]
    assert place.read_text(encoding="utf-8") == OLD


@needs_fork
def test_of_many_who_make_one_file_one_does(tmp_path: Path) -> None:
    path = tmp_path / "plum.toml"
    said = list(at_once(range(12), lambda number: write_whole(path, f"{number}\n" * 1_000)))
    assert said.count(True) == 1
    assert path.read_text(encoding="utf-8") == f"{said.index(True)}\n" * 1_000
    assert names(tmp_path) == ["plum.toml"]


@needs_fork
def test_those_who_make_files_in_one_folder_all_do(tmp_path: Path) -> None:
    assert all(at_once(range(12), lambda number: write_whole(tmp_path / f"{number}.toml", f"{number}\n" * 1_000)))
    for number in range(12):
        assert (tmp_path / f"{number}.toml").read_text(encoding="utf-8") == f"{number}\n" * 1_000
    assert len(names(tmp_path)) == 12


@needs_fork
def test_nothing_is_lost_among_many_writers(tmp_path: Path) -> None:
    path = tmp_path / "numbers"
    path.write_text("", encoding="utf-8")

    def add(number: int) -> bool:
        for _ in range(20):
            rewrite(path, lambda: path.read_text(encoding="utf-8") + f"{number}\n")
        return True

    assert all(at_once(range(20), add))
    assert sorted(map(int, path.read_text(encoding="utf-8").split())) == sorted([*range(20)] * 20)
    assert names(tmp_path) == ["numbers"]


def at_once(numbers: range, work: Callable[[int], bool]) -> Iterator[bool]:
    """Whether the work of each number came out true, each in a process of its own."""
    children = []
    for number in numbers:
        child = os.fork()
        if not child:
            try:
                os._exit(0 if work(number) else 1)
            except BaseException:
                os._exit(2)
        children.append(child)
    return (os.waitpid(child, 0)[1] == 0 for child in children)


# ---------------------------------------------------------------- killed at every step


@needs_fork
@pytest.mark.parametrize("kind", ["new", "replaced", "kitchen"])
def test_killed_at_every_step_the_file_is_whole_and_the_next_write_leaves_no_litter(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "plum.toml"
    texts = ['altitude = "1 ft"\n' + "# a\n" * 300, 'altitude = "2 ft"\n' + "# a\n" * 300]
    writes: dict[str, Callable[[int], object]] = {
        "new": lambda which: write_whole(path, texts[which]),
        "replaced": lambda which: write_whole(path, texts[which], replace=True),
        "kitchen": lambda which: home_file.change(path, {"altitude": f"{which + 1} ft"}),
    }
    seen = set()
    for step in itertools.count():
        path.unlink(missing_ok=True)
        if kind != "new":
            path.write_text(texts[0], encoding="utf-8")
        child = os.fork()
        if not child:
            kill_at(step)
            writes[kind](1)
            os._exit(0)
        killed = os.waitpid(child, 0)[1] == signal.SIGKILL
        seen.add(texts.index(path.read_text(encoding="utf-8")) if path.exists() else None)
        writes["kitchen" if kind == "kitchen" else "replaced"](0)
        assert path.read_text(encoding="utf-8") == texts[0]
        assert names(tmp_path) == ["plum.toml"]
        if not killed:
            break
    assert step > 20
    assert seen == ({None, 1} if kind == "new" else {0, 1})


@needs_fork
def test_commands_killed_and_commands_at_once() -> None:
    """The small form of what faults_kills does."""
    root = str(Path(safefile.__file__).parent.parent)
    done = subprocess.run(
        [sys.executable, faults_kills.__file__, "12", "5", "4"], capture_output=True, text=True, timeout=600, check=False,
        env={**os.environ, "PYTHONPATH": root},
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert re.fullmatch(r"12 kills: .*\n5 x 4 writers: 20 of 20\n", done.stdout)
