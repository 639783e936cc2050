"""Reports read back with pypdf, and the typesetter against HarfBuzz and another line breaker."""

import hashlib
import json
import pathlib
import subprocess
import tempfile

import pypdf
import uharfbuzz
from uniseg.linebreak import line_break_boundaries

from stemclock import PROGRAM

ROOT = pathlib.Path(__file__).resolve().parents[2]
TYPESET = pathlib.Path(PROGRAM).parent / "examples" / "typeset"
DAY = "2026-11-25"


def report(kind, out, *more):
    words = [PROGRAM, "report", str(ROOT / "sample-garage"), "--kind", kind, "--out", str(out), "--on", DAY, "--json"]
    done = subprocess.run([*words, *more], capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def squeezed(text):
    return "".join(text.split())


def check_pdf_read_back():
    """Python package pypdf: text, embedded file, outlines and metadata of each kind of report."""
    with tempfile.TemporaryDirectory() as folder:
        for kind, machine in [("record", "tourer"), ("sale", "standard"), ("comparison", "outfit"), ("garage", None)]:
            out = pathlib.Path(folder) / f"{kind}.pdf"
            told = report(kind, out, *(["--machine", machine] if machine else []))
            pdf = pypdf.PdfReader(out)
            yield f"{kind}: pages", len(pdf.pages), told["pages"]
            text = squeezed("".join(page.extract_text() for page in pdf.pages))
            for words in ["Not a statement of legal roadworthiness", "Checking this paper", "Made with", "schema 1"]:
                yield f"{kind}: says {words}", squeezed(words) in text, True
            yield f"{kind}: says its last page", squeezed(f"page {told['pages']} of {told['pages']}") in text, True
            (record,) = pdf.attachments["stemclock-record.ron"]
            digest = hashlib.sha256(record).hexdigest()
            yield f"{kind}: SHA-256 as told", digest, told["sha256"]
            last = squeezed(pdf.pages[-1].extract_text())
            yield f"{kind}: SHA-256 on the last page", digest in last, True
            titles = [entry.title for entry in flat(pdf.outline)]
            yield f"{kind}: bookmarks", len(titles) > 2 and "Checking this paper" in titles, True
            yield f"{kind}: title", pdf.metadata.title.startswith(("Inspection", "Sale", "Comparison", "Garage")), True
            yield f"{kind}: date", pdf.metadata.creation_date.strftime("%Y-%m-%d"), DAY
            yield f"{kind}: language", pdf.trailer["/Root"]["/Lang"], "en-GB"
            yield f"{kind}: producer", pdf.metadata.producer.startswith("Stemclock "), True


def flat(outline):
    for entry in outline:
        if isinstance(entry, list):
            yield from flat(entry)
        else:
            yield entry


def typeset(texts):
    lines = "\n".join(json.dumps(text) for text in texts)
    done = subprocess.run([TYPESET], input=lines, capture_output=True, text=True, check=True)
    return [json.loads(line) for line in done.stdout.splitlines()]


WORDS = """AV AVATAR To Tyre Typ. WAVE Ye LT. P.O. "V" fi ffi fluffy office offset efficient fjord Vautour Wörth Łódź
Świerszczyk ΑΥΤΟ Τάξη Щётка Гудок Υδωρ 2.4 mm −0.65 36 psi 1/32 12:00 4:30 180/55 ZR17 M/C 73W Öztürk résumé naïve
f. r, y. v- T- 7/8 (AV) [Ty] “To” ‘Yes’ K-Ö""".split()


def check_kerning_and_ligatures():
    """Python package uharfbuzz (HarfBuzz): widths with kerning and ligatures, within a twentieth of a point at 10 points."""
    found = typeset(WORDS)
    for face, file in [("regular", "NotoSans-Regular.ttf"), ("bold", "NotoSans-Bold.ttf")]:
        font = uharfbuzz.Font(uharfbuzz.Face(uharfbuzz.Blob.from_file_path(str(ROOT / "assets/fonts" / file))))
        for text, ours in zip(WORDS, found):
            if "−" in text:
                continue  # The minus comes from another face, which HarfBuzz alone does not choose.
            buffer = uharfbuzz.Buffer()
            buffer.add_str(text)
            buffer.guess_segment_properties()
            uharfbuzz.shape(font, buffer)
            width = sum(place.x_advance for place in buffer.glyph_positions) / font.face.upem * 10.0
            yield f"{face} {text}", ours[face], width, 0.05


LINES = [
    "The front tyre reads 2.4 mm at 4:30 from the right, 36 psi cold.",
    "Pads (left): 1.59 mm – more than 1.02 mm; disc: 4.80 mm, stamped on the part.",
    "A no-break\u00a0space holds; a zero\u200bwidth space lets go; a word\u2060joiner holds.",
    "well-known 3-way tie: “quoted words” and more… (in brackets)",
    "Kraftfahrzeughaftpflichtversicherung ist ein langes Wort.",
    "Ζέφυρος ο βόρειος, Щегол и Łódź – ¿qué? ¡sí!",
    "$10,000.00 or 12 345 km, 50% off, #7 & more.",
    "one\ntwo lines",
    "東京タワーは高い。",
]


def check_line_breaking():
    """Python package uniseg (UAX 14): where a line may end, apart from the house's exception for units such as km/h.

    The typesetter's library follows Unicode 15.0; rule LB15 (a quote before a bracket) was changed after it, so no
    quote stands before a bracket here.
    """
    for text, ours in zip(LINES, typeset(LINES)):
        theirs = [at for at in line_break_boundaries(text) if at > 0]
        yield text, [at for at, _ in ours["breaks"]], theirs
