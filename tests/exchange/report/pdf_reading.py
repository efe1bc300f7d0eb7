"""Read a PDF back with an independent reader."""

import io

import pypdf


def pages(pdf):
    """The text of each page, white space evened out and invisible break places removed."""
    texts = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]
    return [" ".join(text.replace("\u200b", "").split()) for text in texts]


def joined(pdf):
    """All text without white space, for words that may break over lines."""
    return "".join(pages(pdf)).replace(" ", "")


def figures(pdf):
    """The alternative texts in the structure tree."""
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    found, waiting = [], [reader.trailer["/Root"]["/StructTreeRoot"]]
    while waiting:
        node = waiting.pop().get_object()
        if isinstance(node, list):
            waiting += list(node)
        elif isinstance(node, dict):
            if "/Alt" in node:
                found.append(str(node["/Alt"]))
            if "/K" in node:
                waiting.append(node["/K"])
    return found
