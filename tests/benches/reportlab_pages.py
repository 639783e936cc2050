"""The same lines by ReportLab in its quickest way: one string a line, the same typeface embedded as a subset.

Prints the seconds of the quickest run, from the lines to the file's bytes.
"""

import io
import sys
import time

from reportlab.lib.pagesizes import A4
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen import canvas

text, out, font, per_page, runs = sys.argv[1:]
lines = open(text, encoding="utf-8").read().split("\n")
per_page = int(per_page)
pdfmetrics.registerFont(TTFont("Body", font))


def made():
    buffer = io.BytesIO()
    sheet = canvas.Canvas(buffer, pagesize=A4, pageCompression=1)
    for start in range(0, len(lines), per_page):
        sheet.setFont("Body", 8.5)
        for i, line in enumerate(lines[start : start + per_page]):
            sheet.drawString(62, 771.9 - 11.8 * i, line)
        sheet.setFont("Body", 8)
        sheet.drawRightString(A4[0] - 62, 38, f"page {start // per_page + 1} of {len(lines) // per_page}")
        sheet.showPage()
    sheet.save()
    return buffer.getvalue()


best = float("inf")
for _ in range(int(runs)):
    began = time.perf_counter()
    data = made()
    best = min(best, time.perf_counter() - began)
open(out, "wb").write(data)
print(best)
