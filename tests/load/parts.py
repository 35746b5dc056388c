"""Workbooks written part by part, for what no library writes: shared texts, other calendars, damage."""

import zipfile

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
LINKS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006/relationships"
OFFICE = (
    'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
    'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
    'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" '
    'xmlns:style="urn:oasis:names:tc:opendocument:xmlns:style:1.0" '
    'xmlns:fo="urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0"'
)
TYPES = (
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" '
    'ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/></Types>'
)


def write_parts(path, parts):
    """Write a zip archive of parts."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return path


def workbook_parts(rows, *, texts="", styles="", before="", after="", book="", sheet_links=""):
    """Lay out the parts of a workbook of one sheet, Marks; ``rows`` is the XML of its rows."""
    return {
        "[Content_Types].xml": TYPES,
        "_rels/.rels": f'<Relationships xmlns="{PACKAGE}"><Relationship Id="r" Type="{LINKS}/officeDocument" '
        'Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": f'<workbook xmlns="{MAIN}" xmlns:r="{LINKS}">{book}<sheets>'
        '<sheet name="Marks" sheetId="1" r:id="rId1"/></sheets></workbook>',
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{PACKAGE}">'
        f'<Relationship Id="rId1" Type="{LINKS}/worksheet" Target="worksheets/sheet1.xml"/>'
        f'<Relationship Id="rId2" Type="{LINKS}/sharedStrings" Target="sharedStrings.xml"/>'
        f'<Relationship Id="rId3" Type="{LINKS}/styles" Target="styles.xml"/></Relationships>',
        "xl/worksheets/sheet1.xml": f'<worksheet xmlns="{MAIN}">{before}<sheetData>{rows}</sheetData>{after}</worksheet>',
        "xl/sharedStrings.xml": f'<sst xmlns="{MAIN}">{texts}</sst>',
        "xl/styles.xml": f'<styleSheet xmlns="{MAIN}">{styles}</styleSheet>',
    } | ({"xl/worksheets/_rels/sheet1.xml.rels": sheet_links} if sheet_links else {})


def document_parts(tables, *, styles=""):
    """Lay out the parts of an OpenDocument spreadsheet; ``tables`` is the XML of its tables."""
    return {
        "mimetype": "application/vnd.oasis.opendocument.spreadsheet",
        "content.xml": f'<?xml version="1.0"?><office:document-content {OFFICE}><office:automatic-styles>{styles}'
        f"</office:automatic-styles><office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body>"
        "</office:document-content>",
    }
