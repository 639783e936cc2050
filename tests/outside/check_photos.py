"""Photos taken in and given out, read back by exiftool, Pillow and poppler."""

import json
import pathlib
import re
import shutil
import subprocess
import tempfile

import piexif
from PIL import Image, ImageChops, ImageOps

from stemclock import PROGRAM

SAMPLE = pathlib.Path(__file__).resolve().parents[2] / "sample-garage"
# Words that are written into every place a picture file has for them; none may be found afterwards.
SECRETS = ["SN4711", "Quellenhof", "Ada Owner", "48.137", "11.575"]
# What exiftool derives of the file itself and of its pixels.
HARMLESS = {"ExifTool", "System", "File", "Composite", "JFIF", "RIFF", "PNG", "SourceFile"}


def run(*words):
    done = subprocess.run([str(w) for w in words], capture_output=True, text=True, check=False)
    return done.returncode, done.stdout, done.stderr


def program(*words):
    code, out, err = run(PROGRAM, *words)
    if code != 0:
        raise RuntimeError(f"{words}: exit code {code}: {err.strip()}")
    return out


def picture(width=320, height=240):
    left = Image.linear_gradient("L").resize((width, height))
    right = ImageOps.mirror(left.rotate(90)).resize((width, height))
    return Image.merge("RGB", (left, right, ImageOps.invert(left)))


def told(folder, ending):
    """A picture with place, serial number, owner, caption and texts in every way that exiftool can write."""
    path = folder / f"told.{ending}"
    picture().save(path)
    tags = [
        "-GPSLatitude=48.137", "-GPSLatitudeRef=N", "-GPSLongitude=11.575", "-GPSLongitudeRef=E",
        "-EXIF:SerialNumber=SN4711", "-EXIF:OwnerName=Ada Owner", "-EXIF:Artist=Ada Owner", "-EXIF:UserComment=Quellenhof",
        "-XMP:Creator=Ada Owner", "-XMP:City=Quellenhof", "-XMP:SerialNumber=SN4711",
        "-XMP:GPSLatitude=48.137", "-XMP:GPSLongitude=11.575",
    ]
    if ending == "jpg":
        tags += ["-IPTC:By-line=Ada Owner", "-IPTC:City=Quellenhof", "-Comment=Ada Owner", "-MakerNotes:SerialNumber=SN4711"]
    if ending == "png":
        tags += ["-PNG:Author=Ada Owner", "-PNG:Comment=Quellenhof"]
    code, _, err = run("exiftool", "-m", "-overwrite_original", *tags, path)
    if code != 0:
        raise RuntimeError(f"exiftool could not write {path}: {err}")
    return path


def groups(path):
    """The groups of tags that exiftool finds, beside those of the file itself; also in what is embedded."""
    code, out, err = run("exiftool", "-j", "-a", "-u", "-ee", "-G1", path)
    if code != 0:
        raise RuntimeError(f"exiftool {path}: {err}")
    return sorted({name.split(":")[0] for name in json.loads(out)[0]} - HARMLESS)


def spoken(path):
    """The secrets that stand in the tags or anywhere in the bytes."""
    _, out, _ = run("exiftool", "-a", "-u", "-ee", "-n", path)
    bytes_ = path.read_bytes()
    return [s for s in SECRETS if s in out or s.encode() in bytes_]


def garage(folder):
    shutil.copytree(SAMPLE, folder / "garage")
    return folder / "garage"


def first_finding(folder):
    """A machine of the garage, an inspection of it and one of its findings."""
    for path in sorted(folder.glob("machines/*/inspections/*.ron"), reverse=True):
        text = path.read_text(encoding="utf-8")
        found = re.search(r"findings: \[\s*\(\s*id: \"([^\"]+)\"", text)
        if found:
            return path.parts[-3], path.stem, found.group(1)
    raise RuntimeError("no finding in the sample garage")


def check_nothing_of_the_camera_is_left():
    """exiftool 12 and later (Debian libimage-exiftool-perl): photos taken in, copies, and the images of a PDF."""
    with tempfile.TemporaryDirectory() as temporary:
        folder = pathlib.Path(temporary)
        place = garage(folder)
        machine, inspection, finding = first_finding(place)
        for ending in ("jpg", "png", "webp"):
            path = told(folder, ending)
            yield f"the fixture {ending} says something", bool(spoken(path) and groups(path)), True
            out = program("photo", "add", place, "--machine", machine, "--inspection", inspection, "--finding", finding, path, "--json")
            kept = place / "machines" / machine / "photos" / json.loads(out)["photos"][0]["file"]
            yield f"groups of tags in the {ending} taken in", groups(kept), []
            yield f"words in the {ending} taken in", spoken(kept), []
        whole = told(folder, "jpg")
        out = program("photo", "add", place, "--machine", machine, "--inspection", inspection, "--finding", finding, whole, "--keep-everything", "--json")
        kept = place / "machines" / machine / "photos" / json.loads(out)["photos"][0]["file"]
        yield "a file kept whole is byte for byte the same", kept.read_bytes() == whole.read_bytes(), True
        program("photo", "copy", place, "--machine", machine, "--out", folder / "copies")
        for copy in sorted((folder / "copies").iterdir()):
            yield f"copy {copy.name}", (groups(copy), spoken(copy)), ([], [])
        report = folder / "record.pdf"
        program("report", place, "--machine", machine, "--inspection", inspection, "--kind", "record", "--out", report)
        _, tags, _ = run("exiftool", "-a", "-u", "-ee", report)
        yield "place, serial number or owner in the PDF", [t for t in ("GPS", "Serial", "Owner") if t in tags], []
        yield "words in the PDF", spoken(report), []
        (folder / "images").mkdir()
        code, _, err = run("pdfimages", "-all", report, folder / "images" / "i")
        if code != 0:
            raise RuntimeError(f"pdfimages: {err}")
        images = sorted((folder / "images").iterdir())
        yield "the PDF shows the photos", len(images) >= 4, True
        for image in images:
            yield f"image {image.name} of the PDF", (groups(image), spoken(image)), ([], [])


def check_orientation():
    """Pillow's ImageOps.exif_transpose: orientation 1 to 8 of JPEG (within its coding), PNG and WebP (every pixel)."""
    with tempfile.TemporaryDirectory() as temporary:
        folder = pathlib.Path(temporary)
        place = garage(folder)
        machine = first_finding(place)[0]
        for orientation in range(1, 9):
            exif = piexif.dump({"0th": {piexif.ImageIFD.Orientation: orientation}})
            for ending, tolerance in (("jpg", 4.0), ("png", 0.0), ("webp", 4.0)):
                path = folder / f"o{orientation}.{ending}"
                options = {"quality": 92} if ending == "jpg" else {"lossless": True} if ending == "webp" else {}
                # PNG and WebP hold the TIFF part alone; Pillow takes the prefix of JPEG off itself.
                picture(96, 64).save(path, exif=exif, **options)
                out = program("photo", "add", place, "--machine", machine, path, "--json")
                kept = place / "machines" / machine / "photos" / json.loads(out)["photos"][0]["file"]
                expected = ImageOps.exif_transpose(Image.open(path)).convert("RGB")
                found = Image.open(kept).convert("RGB")
                yield f"size of orientation {orientation} {ending}", found.size, expected.size
                if found.size != expected.size:
                    continue
                if orientation == 1:
                    tolerance = 0.0
                difference = ImageChops.difference(found, expected)
                mean = sum(i * n for band in difference.split() for i, n in enumerate(band.histogram())) / (96 * 64 * 3)
                yield f"pixels of orientation {orientation} {ending}", mean, 0.0, tolerance
