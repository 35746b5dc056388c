"""Files made to harm or to fool: each with its kind and what must come of it."""

from __future__ import annotations

import io
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from tests.fuzz.mutators import DATES, INJECTIONS, LETTERS, NUMBERS, PATHS, zipped

_MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
_LINKS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006/relationships"
_HEADER = "".join(
    f'<c r="{column}1" t="inlineStr"><is><t>{word}</t></is></c>'
    for column, word in zip("ABC", ("ID", "Pre", "Post"), strict=True)
)
SOUND_ROWS = (
    f'<row r="1">{_HEADER}</row><row r="2"><c r="A2"><v>417</v></c><c r="B2"><v>5</v></c><c r="C2"><v>7</v></c></row>'
)


ANY = ("any",)
"""Read, or refused for whatever reason: only the laws are asked for."""


_LARGE = frozenset({
    "bomb_cells.xlsx", "bomb_texts.xlsx", "bomb_of_ratio_and_texts.xlsx", "last_cell.xlsx", "last_row.xlsx", "styles_many.xlsx",
    "merged_many.xlsx", "rows_empty.xlsx", "cells_four_million.csv", "longest_cells.csv", "bomb_of_comments.xlsx", "rows_two_million.csv", "initials.csv", "headings_many.csv", "drills_long.csv",
    "text_bomb.parquet", "rows_many.parquet",
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Hostile:
    """One hostile file.

    ``refused`` lists the reasons of which the file must be refused for one, the empty one for a file that may be
    read; no reason where it must be read, with ``used`` rows. ``never`` are words that must not stand on the check page.
    """

    name: str
    make: Callable[[], bytes]
    refused: tuple[str, ...] = ()
    used: int | None = None
    kind: str = "scores"
    never: tuple[str, ...] = ()

    @property
    def large(self) -> bool:
        """Say whether it takes more than about a second, and belongs into the slow suite."""
        return self.name in _LARGE


# ------------------------------------------------------------------------------------------------------------ workbooks


def sheet(rows: str = SOUND_ROWS, after: str = "", before: str = "", prolog: str = "") -> str:
    """Write the XML of a sheet."""
    return f'<?xml version="1.0"?>{prolog}<worksheet {_MAIN}>{before}<sheetData>{rows}</sheetData>{after}</worksheet>'


def parts(
    sheets: Mapping[str, str] | None = None, *, texts: str = "", styles: str = "", more: Mapping[str, str | bytes] | None = None,
    links: str = "",
) -> dict[str, bytes]:  # fmt: skip
    """List the parts of a workbook with these sheets; ``links`` are added to the links of the workbook."""
    sheets = sheets or {"Scores": sheet()}
    listed = "".join(f'<sheet name="{name}" sheetId="{n}" r:id="rId{n}"/>' for n, name in enumerate(sheets, 1))
    made = {
        "[Content_Types].xml": '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>',
        "xl/workbook.xml": f'<workbook {_MAIN} xmlns:r="{_LINKS}"><sheets>{listed}</sheets></workbook>',
    }
    kinds = [(f"rId{n}", "worksheet", f"worksheets/sheet{n}.xml") for n in range(1, len(sheets) + 1)]
    if texts:
        kinds.append(("rIdT", "sharedStrings", "sharedStrings.xml"))
        made["xl/sharedStrings.xml"] = f"<sst {_MAIN}>{texts}</sst>"
    if styles:
        kinds.append(("rIdS", "styles", "styles.xml"))
        made["xl/styles.xml"] = f"<styleSheet {_MAIN}>{styles}</styleSheet>"
    relations = "".join(
        f'<Relationship Id="{i}" Type="{_LINKS}/{kind}" Target="{target}"/>' for i, kind, target in kinds
    )
    made["xl/_rels/workbook.xml.rels"] = f'<Relationships xmlns="{_PACKAGE}">{relations}{links}</Relationships>'
    made |= {f"xl/worksheets/sheet{n}.xml": content for n, content in enumerate(sheets.values(), 1)}
    return {
        name: content if isinstance(content, bytes) else content.encode()
        for name, content in (made | dict(more or {})).items()
    }


def workbook(*args: object, **kwargs: object) -> bytes:
    """Pack a workbook; see `parts`."""
    return zipped(parts(*args, **kwargs))


def cell(reference: str, value: str, kind: str = "n", formula: str = "", style: str = "") -> str:
    """Write one cell."""
    inside = f"<f>{formula}</f>" if formula else ""
    inside += f"<is><t>{value}</t></is>" if kind == "inlineStr" else f"<v>{value}</v>" if value else ""
    return f'<c r="{reference}" t="{kind}"{style and f" s={chr(34)}{style}{chr(34)}"}>{inside}</c>'


def row(number: int, *cells: str, attributes: str = "") -> str:
    """Write one row."""
    return f'<row r="{number}" {attributes}>{"".join(cells)}</row>'


def with_rows(*rows: str, **kwargs: object) -> bytes:
    """Pack a workbook of one sheet: the header, then these rows."""
    return workbook({"Scores": sheet(f'<row r="1">{_HEADER}</row>' + "".join(rows))}, **kwargs)


def _lying(content: bytes, name: str, size: int) -> bytes:
    """Let an archive say of a part that it unpacks to another size, in both places where it says so."""
    changed = bytearray(content)
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        entry = archive.getinfo(name)
    struct.pack_into("<I", changed, entry.header_offset + 22, size)
    at = 0
    while (at := content.index(b"PK\x01\x02", at)) >= 0:
        length = struct.unpack_from("<H", content, at + 28)[0]
        if content[at + 46 : at + 46 + length] == name.encode():
            struct.pack_into("<I", changed, at + 24, size)
            return bytes(changed)
        at += 4
    raise ValueError(f"_lying: the archive must hold {name!r}.")


def _padded(megabytes: int, *, whole: bool = False) -> bytes:
    """Pack a sheet that is mostly comments of blanks, one or one for each megabyte: kilobytes that unpack to very much."""
    begin, _, end = sheet().encode().partition(b"<sheetData>")
    blank, packed, size, check = b" " * (2**20 - 9), [], 0, 0
    blank += b"--> <!--" if whole else b"        "
    for piece, times in ((begin + b"<!--", 1), (blank, megabytes), (b"--><sheetData>" + end, 1)):
        packer = zlib.compressobj(9, zlib.DEFLATED, -15)
        # flushed in full, so that the same packed piece can be repeated
        packed += [packer.compress(piece) + packer.flush(zlib.Z_FULL_FLUSH)] * times
        for _ in range(times):
            check = zlib.crc32(piece, check)
        size += len(piece) * times
    packed.append(zlib.compressobj(9, zlib.DEFLATED, -15).flush())
    return _with_packed(parts(), "xl/worksheets/sheet1.xml", b"".join(packed), size, check)


def _with_packed(others: Mapping[str, bytes], name: str, packed: bytes, size: int, check: int) -> bytes:
    """Write an archive by hand with one part that is packed already."""
    out, central = io.BytesIO(), []
    for part, content in others.items():
        if part == name:
            method, body, crc, length = 8, packed, check, size
        else:
            method, body, crc, length = 0, content, zlib.crc32(content), len(content)
        fields = struct.pack("<HHHHHIIIHH", 20, 0, method, 0, 33, crc, len(body), length, len(part), 0)
        central.append(
            b"PK\x01\x02"
            + struct.pack("<H", 20)
            + fields
            + struct.pack("<HHHII", 0, 0, 0, 0, out.tell())
            + part.encode()
        )
        out.write(b"PK\x03\x04" + fields + part.encode() + body)
    at = out.tell()
    out.write(b"".join(central))
    out.write(b"PK\x05\x06" + struct.pack("<HHHHIIH", 0, 0, len(central), len(central), out.tell() - at, at, 0))
    return out.getvalue()


def _nested() -> bytes:
    """Pack archives in archives, five deep, ten of each."""
    inner = zipped({"0.txt": b"0" * 10**7})
    for _ in range(4):
        inner = zipped({f"{n}.zip": inner for n in range(10)})
    return zipped(parts() | {"xl/media/inner.zip": inner})


def _twice() -> bytes:
    """Pack the first sheet twice under one name: what counts, and what a scanner sees, may differ."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for name, content in parts().items():
            archive.writestr(name, content)
    grown = io.BytesIO(packed.getvalue())
    import warnings

    with zipfile.ZipFile(grown, "a") as archive, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        archive.writestr("xl/worksheets/sheet1.xml", sheet(SOUND_ROWS.replace(">5<", ">9<")))
    return grown.getvalue()


def _laughs(depth: int = 12) -> str:
    """Declare entities that each hold ten of the one before."""
    entities = '<!ENTITY a0 "ha">' + "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, depth))
    return f"<!DOCTYPE worksheet [{entities}]>"


def _attributes(number: int) -> str:
    """Write many attributes of one tag."""
    return " ".join(f'a{n}="1"' for n in range(number))


def _outside(target: str) -> bytes:
    """Let a cell hold an entity that stands for a file or a page somewhere else."""
    prolog = f'<!DOCTYPE worksheet [<!ENTITY out SYSTEM "{target}">]>'
    body = sheet(
        f'<row r="1">{_HEADER}</row>' + row(2, cell("A2", "&out;", "inlineStr"), cell("B2", "5")), prolog=prolog
    )
    return workbook({"Scores": body})


_EXTERNAL = (
    f'<Relationship Id="rIdX" Type="{_LINKS}/externalLink" Target="http://a.invalid/x.xlsx" TargetMode="External"/>'
    f'<Relationship Id="rIdY" Type="{_LINKS}/sharedStrings" Target="file:///etc/passwd" TargetMode="External"/>'
)

WORKBOOKS = (
    Hostile("sound.xlsx", workbook, used=1),
    # archives
    Hostile("bomb_of_one_comment.xlsx", lambda: _padded(300), ("file_large", "file_broken")),
    Hostile("bomb_cells.xlsx", lambda: workbook({"S": sheet(SOUND_ROWS + "<row><c><v>1</v></c></row>" * 20_000)}),
            used=2),
    Hostile("bomb_texts.xlsx", lambda: workbook(texts="<si><t>x</t></si>" * 500_000), used=1),
    Hostile("bomb_of_ratio_and_texts.xlsx", lambda: workbook(texts="<si><t>x</t></si>" * 1_100_000), ("file_large",)),
    Hostile("bomb_of_comments.xlsx", lambda: _padded(300, whole=True), ("file_large",)),
    Hostile("one_text_often.xlsx", lambda: workbook({"S": sheet(SOUND_ROWS + "".join(
        row(n, cell(f"A{n}", "0", "s"), cell(f"B{n}", "5")) for n in range(3, 10_003)))}, texts=f"<si><t>{'x' * 30_000}</t></si>"),
        ("file_large",)),
    Hostile("nested.xlsx", _nested, used=1),
    Hostile("lying_small.xlsx", lambda: _lying(workbook(), "xl/worksheets/sheet1.xml", 10), ("file_broken", "")),
    Hostile("lying_large.xlsx", lambda: _lying(workbook(), "xl/worksheets/sheet1.xml", 2**32 - 2), ("file_broken", "file_large", "")),
    Hostile("twice.xlsx", _twice, used=1),
    Hostile("many_parts.xlsx", lambda: zipped(parts() | {f"x/{n}": b"" for n in range(10_050)}, zipfile.ZIP_STORED), ("file_large",)),
    Hostile("paths_out.xlsx", lambda: workbook(more={"../../evil.txt": "x", "/evil.txt": "x", "C:\\evil.txt": "x", "xl/../../e": "x"}),
            used=1),
    Hostile("sheet_outside.xlsx",
            lambda: zipped({n: c.replace(b"worksheets/sheet1.xml", b"../../../etc/passwd") for n, c in parts().items()}),
            ("file_broken",)),
    Hostile("sheet_absolute.xlsx",
            lambda: zipped({n: c.replace(b'"worksheets/sheet1.xml', b'"/etc/passwd') for n, c in parts().items()}),
            ("file_broken",)),
    Hostile("only_a_name.xlsx", lambda: zipped({"xl/workbook.xml": b""}), ("file_broken", "no_data", "no_header")),
    Hostile("encrypted_bit.xlsx", lambda: workbook().replace(b"PK\x03\x04\x14\x00\x00\x00", b"PK\x03\x04\x14\x00\x01\x00")
            .replace(b"PK\x01\x02\x14\x03\x14\x00\x00\x00", b"PK\x01\x02\x14\x03\x14\x00\x01\x00"), ("file_broken", "file_locked")),
    Hostile("unknown_packing.xlsx", lambda: _repacked(97), ("file_broken",)),
    Hostile("no_end.xlsx", lambda: workbook()[:-22], ("file_broken",)),
    Hostile("end_twice.xlsx", lambda: workbook() + workbook()[-22:], ("file_broken", "")),
    # XML
    Hostile("laughs.xlsx", lambda: workbook({"S": sheet(row(1, cell("A1", "&a11;", "inlineStr")), prolog=_laughs())}), ("file_broken",)),
    Hostile("laughs_in_texts.xlsx", lambda: workbook(more={"xl/sharedStrings.xml": f"{_laughs()}<sst><si><t>&a11;</t></si></sst>"},
            texts="x"), ("file_broken",)),
    Hostile("quadratic.xlsx", lambda: workbook({"S": sheet(row(1, cell("A1", "&q;" * 20_000, "inlineStr")),
            prolog=f'<!DOCTYPE worksheet [<!ENTITY q "{"q" * 20_000}">]>')}), ("file_broken",)),
    Hostile("entity_file.xlsx", lambda: _outside("file:///etc/passwd"), ("file_broken",), never=("root:",)),
    Hostile("entity_page.xlsx", lambda: _outside("http://a.invalid/x"), ("file_broken",)),
    Hostile("dtd_outside.xlsx", lambda: workbook({"S": sheet(prolog='<!DOCTYPE x SYSTEM "http://a.invalid/x.dtd">')}), ("file_broken",)),
    Hostile("deep_tags.xlsx", lambda: workbook({"S": sheet("<x>" * 100_000 + "</x>" * 100_000)}), ("file_broken",)),
    Hostile("many_attributes.xlsx", lambda: workbook({"S": sheet(f"<x {_attributes(100_000)}/>" + SOUND_ROWS)}), ("file_broken", "sheet_large", "")),
    Hostile("long_name.xlsx", lambda: workbook({"S" * 100_000: sheet()}), ("file_broken", "cell_long", "")),
    Hostile("xml_utf16.xlsx", lambda: workbook(more={"xl/worksheets/sheet1.xml": sheet().replace("?>", ' encoding="UTF-16"?>', 1)
            .encode("utf-16")}), used=1),
    Hostile("xml_utf7.xlsx", lambda: workbook(more={"xl/worksheets/sheet1.xml": sheet().replace("?>", ' encoding="UTF-7"?>', 1)}),
            ("file_broken",)),
    # cells
    Hostile("last_cell.xlsx", lambda: workbook({"S": sheet(SOUND_ROWS + row(1_048_576, cell("XFD1048576", "1")))}), ("sheet_large",)),
    Hostile("last_row.xlsx", lambda: workbook({"S": sheet(SOUND_ROWS + row(1_048_576, cell("A1048576", "9"), cell("B1048576", "1")))}),
            used=2),
    Hostile("beyond.xlsx", lambda: workbook({"S": sheet(SOUND_ROWS + row(1_048_577, cell("A1048577", "9")))}), ("sheet_large",)),
    Hostile("row_zero.xlsx", lambda: workbook({"S": sheet(row(0, cell("A0", "1")))}), ("file_broken",)),
    Hostile("row_negative.xlsx", lambda: workbook({"S": sheet(row(-5, cell("A1", "1")))}), ("file_broken",)),
    Hostile("row_huge.xlsx", lambda: workbook({"S": sheet(f'<row r="{"9" * 5000}"></row>')}), ("file_broken", "sheet_large")),
    Hostile("rows_backward.xlsx", lambda: workbook({"S": sheet(row(5, cell("A5", "1")) + row(2, cell("A2", "1")))}), ("file_broken",)),
    Hostile("cell_twice.xlsx", lambda: with_rows(row(2, cell("A2", "1"), cell("B2", "3"), cell("B2", "5"))), ("file_broken",)),
    Hostile("no_references.xlsx", lambda: workbook({"S": sheet("<row><c t='inlineStr'><is><t>ID</t></is></c><c t='inlineStr'><is><t>Pre"
            "</t></is></c></row><row><c><v>1</v></c><c><v>5</v></c></row>")}), used=1),
    Hostile("texts_out_of_range.xlsx", lambda: with_rows(row(2, cell("A2", "999999", "s"), cell("B2", "1"))), ("file_broken",)),
    Hostile("texts_negative.xlsx", lambda: with_rows(row(2, cell("A2", "-1", "s"), cell("B2", "1"), cell("C2", "1"))),
            ("file_broken", "no_data", "")),
    Hostile("texts_no_number.xlsx", lambda: with_rows(row(2, cell("A2", "1e3", "s"))), ("file_broken",)),
    Hostile("style_out_of_range.xlsx", lambda: with_rows(row(2, cell("A2", "417"), cell("B2", "5", style="999999"), cell("C2", "7"))),
            used=1),
    Hostile("style_negative.xlsx", lambda: with_rows(row(2, cell("A2", "417"), cell("B2", "5", style="-3"), cell("C2", "7"))), used=1),
    Hostile("style_no_number.xlsx", lambda: with_rows(row(2, cell("A2", "417", style="x"))), ("file_broken",)),
    Hostile("styles_many.xlsx", lambda: workbook(styles="<cellXfs>" + "<xf/>" * 500_000 + "</cellXfs>"), ("sheet_large", "")),
    Hostile("styles_cyclic.xlsx", lambda: workbook(styles='<cellStyleXfs><xf xfId="0"/></cellStyleXfs><cellXfs><xf xfId="0" numFmtId="-1" '
            'fontId="99" fillId="99"/></cellXfs>'), ("file_broken", "")),
    Hostile("number_format_long.xlsx", lambda: workbook(styles=f'<numFmts><numFmt numFmtId="164" formatCode="{"[h]0.0;@" * 50_000}"/></numFmts>'
            '<cellXfs><xf numFmtId="0"/><xf numFmtId="164"/></cellXfs>'), ("file_broken", "cell_long", "")),
    Hostile("long_cell.xlsx", lambda: with_rows(row(2, cell("A2", "x" * 100_000, "inlineStr"))), ("cell_long",)),
    Hostile("long_text.xlsx", lambda: workbook(texts=f"<si><t>{'x' * 100_000}</t></si>"), ("cell_long",)),
    Hostile("merged_deep.xlsx", lambda: workbook({"S": sheet(after="<mergeCells>" + '<mergeCell ref="A1:XFD1048576"/>' * 50 + "</mergeCells>")}),
            ("merged_header", "sheet_large", "file_broken", "")),
    Hostile("merged_many.xlsx", lambda: workbook({"S": sheet(after="<mergeCells>" + '<mergeCell ref="A2:C2"/>' * 300_000 + "</mergeCells>")}),
            ("merged_header", "sheet_large", "file_broken", "")),
    Hostile("hidden_columns.xlsx", lambda: workbook({"S": sheet(before='<cols><col min="1" max="999999999" hidden="1"/></cols>')}),
            ("sheet_large", "column_hidden", "wrong_columns")),
    Hostile("sheets_many.xlsx", lambda: workbook({f"S{n}": sheet() for n in range(3_000)}), ("sheet_large",)),
    Hostile("sheet_many_times.xlsx", lambda: zipped({n: c.replace(b"</sheets>", b'<sheet name="S" sheetId="9" r:id="rId1"/>' * 300 + b"</sheets>")
            for n, c in parts().items()}), ("sheet_large", "file_broken", "two_layouts", "")),
    Hostile("sheets_empty.xlsx", lambda: workbook({f"S{n}": sheet("") for n in range(400)}), ("no_header", "no_data", "file_empty")),
    Hostile("rows_empty.xlsx", lambda: workbook({"S": sheet("<row/>" * 1_000_000)}), ("no_header", "no_data", "sheet_large")),
    # formulas and links
    Hostile("cycle.xlsx", lambda: with_rows(row(2, cell("A2", "417"), cell("B2", "", formula="C2"), cell("C2", "", formula="B2"))),
            ("formula_unsaved",)),
    Hostile("link_outside.xlsx", lambda: with_rows(row(2, cell("A2", "417"), cell("B2", "5", formula="'http://a.invalid/[x.xlsx]S'!A1"),
            cell("C2", "7", formula="WEBSERVICE(\"http://a.invalid\")")), links=_EXTERNAL), used=1),
    Hostile("formula_long.xlsx", lambda: with_rows(row(2, cell("A2", "417"), cell("B2", "5", formula="(" * 50_000 + "1"))),
            ("cell_long", "file_broken", "")),
    Hostile("errors.xlsx", lambda: with_rows(*(row(n, cell(f"A{n}", str(n)), cell(f"B{n}", word, "e"), cell(f"C{n}", "3"))
            for n, word in enumerate(("#REF!", "#DIV/0!", "#N/A", "#VALUE!", "#NAME?", "#NUM!", "nonsense", ""), 2))),
            ("no_data", "")),
    Hostile("kinds_wrong.xlsx", lambda: with_rows(*(row(n, cell(f"A{n}", str(n)), cell(f"B{n}", value, kind), cell(f"C{n}", "3"))
            for n, (value, kind) in enumerate((("2", "b"), ("yes", "b"), ("2025-99-99", "d"), ("x", "zzz"), ("", "s")), 2))),
            ("file_broken", "")),
    Hostile("dates_wrong.xlsx", lambda: with_rows(
        *(row(n, cell(f"A{n}", str(n)), cell(f"B{n}", value, style="1"), cell(f"C{n}", "3"))
          for n, value in enumerate(("-1", "0", "60", "0.5", "2958465", "2958466", "1e12", "-1e300", "1e308", "45000.999999999"), 2)),
        styles='<cellXfs><xf numFmtId="0"/><xf numFmtId="14"/></cellXfs>'), ("file_broken", "")),
)  # fmt: skip


def _repacked(method: int) -> bytes:
    """Say of every part that it is packed in a way that there is not."""
    changed = bytearray(workbook())
    for mark, at in ((b"PK\x03\x04", 8), (b"PK\x01\x02", 10)):
        place = -1
        while (place := changed.find(mark, place + 1)) >= 0:
            struct.pack_into("<H", changed, place + at, method)
    return bytes(changed)


# --------------------------------------------------------------------------------------------------------------- others


def opendocument(body: str, prolog: str = "") -> bytes:
    """Pack an .ods with this table."""
    office, table, text = (f"urn:oasis:names:tc:opendocument:xmlns:{name}:1.0" for name in ("office", "table", "text"))
    content = (
        f'<?xml version="1.0"?>{prolog}<o:document-content xmlns:o="{office}" xmlns:table="{table}" xmlns:text="{text}">'
        f'<o:body><o:spreadsheet><table:table table:name="S">{body}</table:table></o:spreadsheet></o:body></o:document-content>'
    )
    return zipped({"mimetype": b"application/vnd.oasis.opendocument.spreadsheet", "content.xml": content.encode()})


def _ods_row(*values: str, repeated: str = "") -> str:
    """Write a row of an .ods."""
    cells = "".join(
        f'<table:table-cell o:value-type="string"><text:p>{value}</text:p></table:table-cell>' for value in values
    )
    return f"<table:table-row{repeated and f' table:number-rows-repeated={chr(34)}{repeated}{chr(34)}'}>{cells}</table:table-row>"


_ODS = _ods_row("ID", "Pre", "Post") + _ods_row("417", "5", "7")

OPENDOCUMENTS = (
    Hostile("sound.ods", lambda: opendocument(_ODS), used=1),
    Hostile("rows_repeated.ods", lambda: opendocument(_ODS + _ods_row("418", "5", "7", repeated="1000000000")), ("sheet_large",)),
    Hostile("rows_repeated_blank.ods", lambda: opendocument(_ODS + _ods_row("", repeated="1048574")), used=1),
    Hostile("cells_repeated.ods", lambda: opendocument(_ODS.replace("<table:table-cell ",
            '<table:table-cell table:number-columns-repeated="999999999" ', 1)), ("sheet_large",)),
    Hostile("repeated_negative.ods", lambda: opendocument(_ODS + _ods_row("418", "5", "7", repeated="-5")), ("file_broken", "")),
    Hostile("repeated_word.ods", lambda: opendocument(_ODS + _ods_row("418", "5", "7", repeated="many")), ("file_broken",)),
    Hostile("spaces.ods", lambda: opendocument(_ODS.replace("417", '<text:s text:c="999999999"/>')), ("cell_long", "file_broken")),
    Hostile("laughs.ods", lambda: opendocument(_ODS.replace("417", "&a11;"), _laughs()), ("file_broken",)),
    Hostile("entity_file.ods", lambda: opendocument(_ODS.replace("417", "&o;"), '<!DOCTYPE x [<!ENTITY o SYSTEM "file:///etc/passwd">]>'),
            ("file_broken",), never=("root:",)),
    Hostile("times.ods", lambda: opendocument(_ODS.replace('o:value-type="string"><text:p>5',
            'o:value-type="time" o:time-value="PT99999999999999H99M"><text:p>5')), ("file_broken", "")),
    Hostile("dates.ods", lambda: opendocument(_ODS.replace('o:value-type="string"><text:p>5',
            'o:value-type="date" o:date-value="0000-00-00"><text:p>5')), ("file_broken", "")),
    Hostile("floats.ods", lambda: opendocument(_ODS.replace('o:value-type="string"><text:p>5',
            'o:value-type="float" o:value="1e999"><text:p>5')), ("file_broken", "no_data", "")),
)  # fmt: skip


def _one_text(text: str, times: int) -> object:
    """Make a column that holds one text very often, and a few bytes for each time."""
    import numpy as np
    import pyarrow as pa

    return pa.DictionaryArray.from_arrays(pa.array(np.zeros(times, dtype=np.int32)), pa.array([text]))


def _parquet(columns: Mapping[str, Iterable]) -> bytes:
    """Write a Parquet table."""
    import pyarrow as pa
    import pyarrow.parquet

    out = io.BytesIO()
    pa.parquet.write_table(pa.table(dict(columns)), out)
    return out.getvalue()


def _footer_length(content: bytes, length: int) -> bytes:
    """Let a Parquet file say another length of its footer."""
    return content[:-8] + struct.pack("<I", length) + content[-4:]


_SOUND_TABLE = {"ID": ["a1", "a2"], "Pre": [5, 6], "Post": [7, 8]}

PARQUETS = (
    Hostile("sound.parquet", lambda: _parquet(_SOUND_TABLE), used=2),
    Hostile("cut.parquet", lambda: _parquet(_SOUND_TABLE)[:-5], ("file_broken",)),
    Hostile("cut_front.parquet", lambda: b"PAR1" + _parquet(_SOUND_TABLE)[40:], ("file_broken", "")),
    Hostile("head_only.parquet", lambda: b"PAR1", ("file_broken",)),
    Hostile("footer_long.parquet", lambda: _footer_length(_parquet(_SOUND_TABLE), 2**32 - 1), ("file_broken",)),
    Hostile("footer_none.parquet", lambda: _footer_length(_parquet(_SOUND_TABLE), 0), ("file_broken",)),
    Hostile("rows_many.parquet", lambda: _parquet({"ID": ["x"] * 1_100_000, "Pre": [1] * 1_100_000}), ("sheet_large",)),
    Hostile("columns_many.parquet", lambda: _parquet({f"c{n}": [1] for n in range(2_100)}), ("sheet_large",)),
    Hostile("long_cell.parquet", lambda: _parquet(_SOUND_TABLE | {"ID": ["x" * 200_000, "y"]}), ("cell_long",)),
    Hostile("long_bytes.parquet", lambda: _parquet(_SOUND_TABLE | {"ID": [b"\xff" * 200_000, b"y"]}), ("cell_long",)),
    Hostile("text_bomb.parquet", lambda: _parquet({"ID": _one_text("x" * 30_000, 100_000), "Pre": [1] * 100_000}),
            ("file_large", "cell_long", "sheet_large")),
    Hostile("lists.parquet", lambda: _parquet(_SOUND_TABLE | {"Note": [[1] * 100_000, []]}), ("cell_long", "")),
    Hostile("names.parquet", lambda: _parquet({"ID": ["=1+1", "<b>"], "Pre": [float("nan"), float("inf")], "": [1, 2], "\u202e": [1, 2]}),
            ("no_data", "")),
)  # fmt: skip


def _csv(*values: str, columns: str = "ID,Name,Choir,Pre,Post") -> bytes:
    """Write a row of marks for each value, which stands as id, as name, as choir and as mark in turn."""
    rows = [columns]
    for n, value in enumerate(values):
        cells = [f"a{n}x", "Pim Nettlebed", "Treble", "5", "7"]
        for place in range(5):
            quoted = '"' + value.replace('"', '""') + '"'
            rows.append(
                ",".join(quoted if at == place else f"{c}{place}" if at == 0 else c for at, c in enumerate(cells))
            )
    return ("\n".join(rows) + "\n").encode("utf-8", "surrogatepass")


_SOUND = b"ID,Pre,Post\na1,5,7\na2,6,8\n"
TEXTS = (
    Hostile("sound.csv", lambda: _SOUND, used=2),
    Hostile("columns_million.csv", lambda: b"ID,Pre,Post" + b"," * 1_000_000 + b"\na1,5,7\n", ("sheet_large",)),
    Hostile("columns_million_below.csv", lambda: _SOUND + b"," * 1_000_000 + b"\n", ("sheet_large",)),
    Hostile("headings_many.csv", lambda: ",".join(["ID", *(f"Pre {n}" for n in range(1_990))]).encode() + b"\na1" + b",1" * 1_990 + b"\n",
            ANY),
    Hostile("long_cell.csv", lambda: b"ID,Pre,Post\n" + b"x" * 100_000 + b",5,7\n", ("cell_long",)),
    Hostile("long_quoted.csv", lambda: b'ID,Pre,Post\n"' + b"x\n" * 100_000 + b'",5,7\n', ("cell_long",)),
    Hostile("longest_cells.csv", lambda: b"ID,Pre,Post\n" + b"".join(b"a%d,%s,7\n" % (n, b"x" * 32_000) for n in range(100)), ANY),
    Hostile("one_line.csv", lambda: b"x" * 5_000_000, ("cell_long", "file_kind")),
    Hostile("cells_four_million.csv", lambda: ",".join(["ID", "Pre", "Post", *(f"Note {n}" for n in range(1_996))]).encode() + b"\n"
            + b"".join(b"a%d" % n + b",7" * 1_998 + b"\n" for n in range(1_990)), used=1_990),
    Hostile("rows_two_million.csv", lambda: b"ID,Pre\n" + b"\n" * 2_000_000, ("sheet_large",)),
    Hostile("commas.csv", lambda: b"ID,Pre,Post\n" + (b"," * 1_900 + b"\n") * 3_000, ("sheet_large",)),
    Hostile("quotes.csv", lambda: b'ID,Pre,Post\n' + b'"' * 1_000_001, ("file_broken", "cell_long", "")),
    Hostile("quote_open.csv", lambda: b'ID,Pre,Post\na1,"5,7\na2,6,8\na3,6,8\n', ("file_broken",)),
    Hostile("nul.csv", lambda: _SOUND + b"a3,\x00,7\n", ("file_kind", "file_broken")),
    Hostile("nuls.csv", lambda: bytes(100_000), ("file_kind", "file_broken", "file_empty")),
    Hostile("returns_only.csv", lambda: _SOUND.replace(b"\n", b"\r"), used=2),
    Hostile("mark_inside.csv", lambda: b"ID,Pre,Post\n\xef\xbb\xbfa1,5,7\n\xef\xbb\xbfa2,6,8\n", used=2),
    Hostile("mark_twice.csv", lambda: b"\xef\xbb\xbf\xef\xbb\xbf" + _SOUND, used=2),
    Hostile("utf16.csv", lambda: _SOUND.decode().encode("utf-16"), used=2),
    Hostile("utf16_cut.csv", lambda: _SOUND.decode().encode("utf-16")[:-1], ("encoding_unclear", "file_broken")),
    Hostile("utf32.csv", lambda: _SOUND.decode().encode("utf-32"), ANY),
    Hostile("surrogate.csv", lambda: b"ID,Pre,Post\na\xed\xa0\x80,5,7\n", ("encoding_unclear",)),
    Hostile("utf16_surrogate.csv", lambda: _SOUND.decode().encode("utf-16-le").join((b"\xff\xfe", b"\x00\xd8,\x005\x00")),
            ("encoding_unclear", "file_broken")),
    Hostile("overlong.csv", lambda: b"ID,Pre,Post\n\xc0\x80,5,7\n", used=1),
    Hostile("separator_quote.csv", lambda: b'sep="\n' + _SOUND, ANY),
    Hostile("separator_letter.csv", lambda: b"sep=a\n" + _SOUND, ANY),
    Hostile("separator_end.csv", lambda: b"sep=\r\n" + _SOUND, ANY),
    Hostile("separator_wide.csv", "sep=\U0001f3b5\nID\U0001f3b5Pre\U0001f3b5Post\na1\U0001f3b55\U0001f3b57\n".encode, ANY),
    Hostile("separator_only.csv", lambda: b"sep=;\n", ANY),
    Hostile("web_page.csv", lambda: b"<html><table><tr><td>ID</td></tr></table></html>", ("file_kind",)),
    Hostile("injected.csv", lambda: _csv(*INJECTIONS), ANY, never=("Nettlebed", "<script", "<img")),
    Hostile("injected_headings.csv", (",".join(["ID", "Pre", "Post", *('"' + w.replace('"', '""') + '"' for w in INJECTIONS)])
            + "\na1,5,7\n").encode, ANY),
    Hostile("paths.csv", lambda: _csv(*PATHS), ANY, never=("Nettlebed",)),
    Hostile("numbers.csv", lambda: _csv(*NUMBERS), ANY, never=("Nettlebed",)),
    Hostile("numbers_below_one_heading.csv", lambda: b"ID,Pre\n" + "".join(f'a{n},"{v}"\n' for n, v in enumerate(NUMBERS)).encode(), ANY),
    Hostile("digits.csv", lambda: b"ID,Pre,Post\n" + b"9" * 30_000 + b"," + b"9" * 30_000 + b",0." + b"3" * 30_000 + b"\n", ANY),
    Hostile("digits_id.csv", lambda: b"ID,Pre,Post\n" + b"0" * 30_000 + b",1,2\n7,1,2\n", ANY),
    Hostile("exponent.csv", lambda: b"ID,Pre,Post\na1,1e999999999,1e-999999999\na2,5/1e309,1e309%\n", ANY),
    Hostile("dates.csv", lambda: b"ID,Date,Pre,Post\n" + "".join(f'a{n},"{d}",5,7\n' for n, d in enumerate(DATES)).encode(),
            ANY),
    Hostile("letters.csv", lambda: _csv(*(letters for letters in LETTERS if "\x00" not in letters)), ANY, never=("Nettlebed",)),
    Hostile("regular_expression.csv", lambda: b"ID,Pre,Post\n" + b"a1," + b"1" * 20_000 + b"/" + b" " * 10_000 + b"x,"
            + b"(" * 10_000 + b"\n", ANY),
    Hostile("blanks.csv", lambda: b"ID,Pre,Post\n" + b"".join(b"a%d,%sx,7\n" % (n, b" " * 30_000) for n in range(50)), ANY),
    Hostile("minus.csv", lambda: b"ID,Pre,Post\n" + b"".join(b"a%d,%s,7\n" % (n, b"1-" * 15_000) for n in range(50)), ANY),
    Hostile("commas_in_mark.csv", lambda: b'ID,Pre,Post\na1,"' + b"1," * 15_000 + b'1",7\n', ANY),
    Hostile("names_alike.csv", lambda: b"Name,Pre,Post\n" + b"".join(b"Pim %s,5,7\n" % (b"Nettlebe" + bytes([97 + n % 26, 97 + n // 26 % 26]))
            for n in range(600)), ANY, never=("nettlebe",)),
    Hostile("initials.csv", lambda: b"Name,Pre,Post\n" + b"".join(b"%c. %c%c,5,7\n%c%c%c %c%c,1,2\n" % (
            97 + n % 26, 97 + n // 26, 98, 97 + n % 26, 97, 98, 97 + n // 26, 98) for n in range(676)), ANY),
)  # fmt: skip

OTHER_KINDS = tuple(
    Hostile(f"{kind}_{what}.csv", make, ANY, kind=kind)
    for kind, columns in {
        "rosters": "Student ID,Name,Choir,School,Grade",
        "drills": "Date,Choir,Student,Minutes,Activity,Pattern,Asked,Try,Sung,Right",
        "items": "Student,Occasion,Melody,Item,Right,Sung",
        "keys": "Form,Melody,Item,Degree,Approach",
        "patterns": "Pattern,Notes",
        "ratings": "Date,Choir,Judge,Rating",
        "attendance": "Student ID,Date,Attendance",
    }.items()
    for what, make in {
        "injected": lambda columns=columns: _filled(columns, INJECTIONS + PATHS),
        "numbers": lambda columns=columns: _filled(columns, NUMBERS),
        "dates": lambda columns=columns: _filled(columns, DATES),
        "letters": lambda columns=columns: _filled(columns, tuple(letters for letters in LETTERS if "\x00" not in letters)),
        "long": lambda columns=columns: _filled(columns, ("x" * 30_000, "do re mi " * 3_000, "1" * 30_000, "1," * 15_000, "- " * 15_000)),
    }.items()
)  # fmt: skip


def _filled(columns: str, values: tuple[str, ...]) -> bytes:
    """Write a table in which each value fills a whole row, and then stands in each column once beside plain cells."""
    width = columns.count(",") + 1
    rows = [columns]
    for value in values:
        quoted = '"' + value.replace('"', '""') + '"'
        rows.append(",".join([quoted] * width))
        rows += [",".join(quoted if at == place else "1" for at in range(width)) for place in range(width)]
    return ("\n".join(rows) + "\n").encode("utf-8", "surrogatepass")


HOSTILE = (*WORKBOOKS, *OPENDOCUMENTS, *PARQUETS, *TEXTS, *OTHER_KINDS)
