"""A project file that cannot be read is refused with its place and the way to mend it."""

import os
import sys
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.project import reading
from workshop.project.faults import FileFault
from workshop.project.reading import dumps, loads, read


def fault_of(path: Path) -> FileFault:
    with pytest.raises(FileFault) as told:
        read(path)
    sentence = str(told.value)
    assert sentence.startswith(str(path)) and sentence.endswith(".") and "\n" not in sentence
    return told.value


def put(folder: Path, data: bytes) -> Path:
    path = folder / "tarn.toml"
    path.write_bytes(data)
    return path


def test_numbers_are_read_exactly(tmp_path: Path) -> None:
    stored = read(put(tmp_path, b"format = 1\nat = 0.10\n"))
    assert stored.document == {"format": 1, "at": Decimal("0.10")}
    assert str(stored.document["at"]) == "0.10"


def test_a_byte_order_mark_is_passed_over(tmp_path: Path) -> None:
    assert read(put(tmp_path, b"\xef\xbb\xbfformat = 1\r\n")).document == {"format": 1}


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    assert fault_of(tmp_path / "tarm.toml").what == "there is no such file"


def test_a_path_through_a_file_leads_to_no_file(tmp_path: Path) -> None:
    assert fault_of(put(tmp_path, b"") / "tarn.toml").what == "there is no such file"


def test_a_folder_is_no_project_file(tmp_path: Path) -> None:
    assert fault_of(tmp_path).what == "is a folder"


@pytest.mark.skipif(sys.platform == "win32", reason="named pipes in a folder are not of Windows")
def test_a_pipe_is_refused_without_waiting_for_it(tmp_path: Path) -> None:
    if sys.platform != "win32":
        os.mkfifo(tmp_path / "pipe")
    assert fault_of(tmp_path / "pipe").what == "is not an ordinary file"


def test_a_link_back_to_itself_is_refused(tmp_path: Path) -> None:
    loop = tmp_path / "loop.toml"
    loop.symlink_to(loop)
    assert "leads back to itself" in fault_of(loop).what


def test_a_file_that_may_not_be_read_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def forbidden(path: Path) -> bytes:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(reading, "bounded", forbidden)
    assert fault_of(put(tmp_path, b"format = 1\n")).what == "may not be read"


def test_a_disk_that_fails_says_what_the_system_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def failing(path: Path) -> bytes:
        raise OSError(5, "Input/output error", str(path))

    monkeypatch.setattr(reading, "bounded", failing)
    assert fault_of(put(tmp_path, b"format = 1\n")).what == "cannot be read (input/output error)"


def test_bytes_that_are_not_utf_8_have_a_line(tmp_path: Path) -> None:
    fault = fault_of(put(tmp_path, b'format = 1\n\n[project]\nname = "B\xe4nkchen"\n'))
    assert (fault.line, fault.what) == (4, "the byte E4 is not UTF-8")


def test_a_file_over_64_megabytes_is_refused(tmp_path: Path) -> None:
    path = put(tmp_path, b"format = 1\n")
    os.truncate(path, 64 * 1024 * 1024 + 1)
    assert fault_of(path).what == "is larger than 64 MB"


@pytest.mark.parametrize(
    ("text", "line", "field", "what"),
    [
        (
            "[slab.ash]\nthickness = 52 mm\n",
            2,
            "slab.ash.thickness",
            "something stands after the value at column 16",
        ),
        ("[slab.ash]\nthickness 52\n", 2, "slab.ash.thickness", "no = follows the key at column 11"),
        (
            "[slab.ash]\nthickness =\n",
            2,
            "slab.ash.thickness",
            "the value is missing or not TOML at column 12",
        ),
        (
            '[slab.ash]\nnote = "long\nand longer"\n',
            2,
            "slab.ash.note",
            "a text is not closed by its quote at column 13",
        ),
        ("[a]\n[b]\n[a]\n", 3, "", "[a] stands here for the second time at column 3"),
        ("[a]\nb = 1\nb = 2\nc = 3\n", 3, "", "a key stands twice in one table at column 6"),
        (
            "lifts = [\n  { id = 'base' }\n",
            2,
            "lifts row 1 id",
            "a list lacks a comma or its closing ] at the end of the file",
        ),
        ("größe = 1\n", 1, '"größe"', "no = follows the key at column 3"),
        ("a = '''open\n\n", 1, "a", "a text is not closed by its quote at the end of the file"),
    ],
)
def test_what_is_not_toml_is_put_in_words(
    tmp_path: Path, text: str, line: int, field: str, what: str
) -> None:
    fault = fault_of(put(tmp_path, text.encode()))
    assert (fault.line, fault.field, fault.what) == (line, field, what)
    assert fault.mend


@pytest.mark.parametrize("text", ["a = " + "[" * 5000, "a = " + "9" * 5000, "a = 1e99999999999999999999"])
def test_what_no_reader_can_hold_is_a_fault_and_no_crash(tmp_path: Path, text: str) -> None:
    assert fault_of(put(tmp_path, text.encode())).mend


@settings(deadline=None, derandomize=True, max_examples=300)
@given(st.text(max_size=30) | st.lists(st.sampled_from("a=[]{}\".#\n\\'1 ,u"), max_size=20).map("".join))
def test_any_text_is_a_document_or_a_fault_in_one_sentence(text: str) -> None:
    try:
        document = loads(text, Path("tarn.toml"))
    except FileFault as fault:
        assert fault.line is None or 1 <= fault.line <= text.count("\n") + 1
        assert fault.what and fault.mend
    else:
        assert loads(dumps(document), Path("tarn.toml")) == document or "nan" in text
