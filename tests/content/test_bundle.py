"""Files from outside: what is taken, what is refused, and that nothing of them is believed."""

from __future__ import annotations

import contextlib
import io
import stat
import zipfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from content.bundle import (
    MOST_ENTRIES,
    MOST_UNPACKED_BYTES,
    MOST_ZIP_BYTES,
    pack,
    read_bundle,
    read_day,
    read_text,
    unpack,
)
from content.errors import ContentInvalid, FileRefused, Unfit
from content.loading import DEMO, load_challenge
from content.source import MOST_BYTES

CONTENT = load_challenge(DEMO)
DAY = (DEMO / "day-1.yaml").read_bytes()
BOMB = b"a: &a [x, x, x]\nb: &b [*a, *a, *a]\nc: [*b, *b, *b]\n"


def a_zip(*files: tuple[str | zipfile.ZipInfo, bytes]) -> bytes:
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files:
            archive.writestr(name, data)
    return written.getvalue()


def a_link(name: str) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name)
    entry.create_system = 3
    entry.external_attr = (stat.S_IFLNK | 0o777) << 16
    return entry


def locked(data: bytes) -> bytes:
    """Set the bit that says there is a password. Source: PKWARE APPNOTE, 4.3.7 and 4.3.12."""
    changed = bytearray(data)
    changed[data.index(b"PK\x03\x04") + 6] |= 1
    changed[data.index(b"PK\x01\x02") + 8] |= 1
    return bytes(changed)


def test_what_is_packed_is_read_back_and_is_the_same_every_time():
    assert read_bundle(pack(CONTENT)).content == CONTENT
    assert pack(CONTENT) == pack(CONTENT)


def test_a_folder_packed_by_hand_is_read_with_or_without_the_folder():
    files = [(file.name, file.read_bytes()) for file in sorted(DEMO.glob("*.yaml"))]

    flat = read_bundle(a_zip(*files))
    inside = read_bundle(a_zip(("week/", b""), *((f"week/{n}", data) for n, data in files)))

    assert flat.content == inside.content == CONTENT


@pytest.mark.parametrize(
    ("data", "why", "name"),
    [
        pytest.param(b"", Unfit.BROKEN, "", id="empty"),
        pytest.param(b"PK\x03\x04 and then nothing", Unfit.BROKEN, "", id="no_zip"),
        pytest.param(a_zip(("day-1.yaml", DAY))[:-30], Unfit.BROKEN, "", id="cut_off"),
        pytest.param(bytes(MOST_ZIP_BYTES + 1), Unfit.SIZE, "", id="too_large"),
        pytest.param(a_zip(("../day-1.yaml", DAY)), Unfit.NAME, "../day-1.yaml", id="above"),
        pytest.param(a_zip(("/day-1.yaml", DAY)), Unfit.NAME, "/day-1.yaml", id="root"),
        pytest.param(a_zip(("a/b/day-1.yaml", DAY)), Unfit.NAME, "a/b/day-1.yaml", id="deep"),
        pytest.param(a_zip(("c:/day-1.yaml", DAY)), Unfit.NAME, "c:/day-1.yaml", id="drive"),
        pytest.param(a_zip(("..\\day-1.yaml", DAY)), Unfit.NAME, None, id="other_slash"),
        pytest.param(a_zip(("notes.txt", DAY)), Unfit.NAME, "notes.txt", id="unknown_name"),
        pytest.param(a_zip(("day-01.yaml", DAY)), Unfit.NAME, "day-01.yaml", id="odd_number"),
        pytest.param(a_zip(("DAY-1.YAML", DAY)), Unfit.NAME, "DAY-1.YAML", id="capitals"),
        pytest.param(
            a_zip(("a/day-1.yaml", DAY), ("b/day-2.yaml", DAY)),
            Unfit.NAME,
            "b/day-2.yaml",
            id="two_folders",
        ),
        pytest.param(
            a_zip((a_link("day-1.yaml"), b"/etc/hostname")), Unfit.LINK, "day-1.yaml", id="link"
        ),
        pytest.param(
            locked(a_zip(("day-1.yaml", DAY))), Unfit.LOCKED, "day-1.yaml", id="password"
        ),
        pytest.param(
            a_zip(("day-1.yaml", b" " * (MOST_BYTES + 1))),
            Unfit.UNPACKED,
            "day-1.yaml",
            id="one_large_file",
        ),
        pytest.param(
            a_zip(*((f"day-{n}.yaml", b" " * MOST_BYTES) for n in range(1, 6))),
            Unfit.UNPACKED,
            f"day-{MOST_UNPACKED_BYTES // MOST_BYTES + 1}.yaml",
            id="large_together",
        ),
        pytest.param(
            a_zip(*((f"day-{n}.yaml", b"") for n in range(1, MOST_ENTRIES + 2))),
            Unfit.MANY,
            "",
            id="many_files",
        ),
    ],
)
def test_a_zip_that_could_do_harm_is_refused_by_name(data, why, name):
    with pytest.raises(FileRefused) as info:
        unpack(data)

    assert info.value.why is why
    if name is not None:
        assert info.value.name == name


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_a_name_that_is_there_twice_is_refused():
    with pytest.raises(FileRefused) as info:
        unpack(a_zip(("day-1.yaml", DAY), ("day-1.yaml", DAY)))

    assert info.value.why is Unfit.TWICE


def test_a_size_that_is_a_lie_changes_nothing():
    """The head of an entry claims three bytes; so many are unpacked, and the sum does not fit."""
    data = bytearray(a_zip(("day-1.yaml", b" " * (MOST_BYTES + 1))))
    at = data.index(b"PK\x01\x02") + 24
    data[at : at + 4] = (3).to_bytes(4, "little")

    with pytest.raises(FileRefused) as info:
        unpack(bytes(data))

    assert info.value.why in {Unfit.BROKEN, Unfit.UNPACKED}


@settings(deadline=None)
@given(data=st.binary(max_size=200), prefix=st.sampled_from([b"", b"PK\x03\x04", pack(CONTENT)]))
def test_no_bytes_raise_anything_but_a_refusal(data, prefix):
    with contextlib.suppress(FileRefused):
        assert isinstance(unpack(prefix[: len(prefix) // 2] + data), dict)


@pytest.mark.parametrize(
    ("day", "message"),
    [
        pytest.param(BOMB, "aliases", id="alias_bomb"),
        pytest.param(b"[" * 50 + b"]" * 50, "nested more than", id="deep"),
        pytest.param(b"kind: !!python/name:os.system x", "tags such as", id="tag"),
        pytest.param(b"\xff\xfe", "not UTF-8", id="other_encoding"),
        pytest.param(DAY.replace(b"push-up", b"push-upp"), "did you mean push-up", id="movement"),
    ],
)
def test_what_is_wrong_in_a_day_is_told_by_line_without_any_folder(day, message):
    with pytest.raises(ContentInvalid) as info:
        read_day(day, CONTENT.head, ())

    assert any(message in problem.message for problem in info.value.problems)
    assert {str(problem.file) for problem in info.value.problems} == {"day.yaml"}


def test_a_challenge_is_refused_whole_and_its_files_are_named_bare():
    files = dict(unpack(pack(CONTENT)))
    files["day-2.yaml"] = BOMB
    del files["day-3.yaml"]

    with pytest.raises(ContentInvalid) as info:
        read_bundle(a_zip(*files.items()))

    assert {problem.file for problem in info.value.problems} == {
        Path("day-2.yaml"),
        Path("day-3.yaml"),
    }


def test_a_day_is_checked_against_the_divisions_it_is_for():
    head = CONTENT.head.model_copy(update={"divisions": CONTENT.head.divisions[:2]})

    with pytest.raises(ContentInvalid) as info:
        read_day(DAY, head, ())

    assert "unknown division 'bodyweight'" in info.value.problems[0].message
    assert read_day(DAY, CONTENT.head, ()) == CONTENT.days[0]


@pytest.mark.parametrize(
    ("data", "why"),
    [
        pytest.param(b"\xff", Unfit.TEXT, id="no_text"),
        pytest.param(b"a" * (MOST_BYTES + 1), Unfit.SIZE, id="large"),
    ],
)
def test_a_text_that_cannot_be_read_is_refused(data, why):
    with pytest.raises(FileRefused) as info:
        read_text(data)

    assert info.value.why is why


def test_a_text_may_begin_with_a_byte_order_mark():
    assert read_text("\ufeffAMRAP 12".encode()) == "AMRAP 12"
