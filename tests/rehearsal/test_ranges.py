"""Parts of a file, as RFC 9110 counts them."""

from __future__ import annotations

import pytest

from bot.rehearsal.ranges import part_of

DATA = b"0123456789"


# RFC 9110, section 14.1.2, with ten bytes instead of ten thousand.
@pytest.mark.parametrize(
    ("wanted", "status", "body", "where"),
    [
        pytest.param(None, 200, DATA, None, id="all"),
        pytest.param("bytes=0-4", 206, b"01234", "bytes 0-4/10", id="first_half"),
        pytest.param("bytes=5-9", 206, b"56789", "bytes 5-9/10", id="second_half"),
        pytest.param("bytes=-3", 206, b"789", "bytes 7-9/10", id="the_last_three"),
        pytest.param("bytes=7-", 206, b"789", "bytes 7-9/10", id="from_the_eighth"),
        pytest.param("bytes=8-99", 206, b"89", "bytes 8-9/10", id="beyond_the_end"),
        pytest.param("bytes=-99", 206, DATA, "bytes 0-9/10", id="more_than_all"),
        pytest.param("bytes=10-", 416, b"", "bytes */10", id="behind_the_end"),
        pytest.param("bytes=-0", 416, b"", "bytes */10", id="the_last_none"),
        pytest.param("bytes=5-2", 416, b"", "bytes */10", id="backwards"),
        pytest.param("bytes=0-1,4-5", 200, DATA, None, id="several"),
        pytest.param("bytes=-", 200, DATA, None, id="neither_end"),
        pytest.param("lines=0-1", 200, DATA, None, id="another_unit"),
    ],
)
def test_a_part_is_counted_in_bytes(wanted, status, body, where):
    answer = part_of(DATA, wanted, media_type="audio/ogg", headers={"X-Own": "kept"})

    assert (answer.status_code, answer.body) == (status, body)
    assert answer.headers.get("Content-Range") == where
    assert (answer.headers["Accept-Ranges"], answer.headers["X-Own"]) == ("bytes", "kept")
