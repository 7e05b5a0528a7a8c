#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""Draws every layout in every format and reads the labels back with programs that share nothing with what drew them:

    pdftoppm, pdftotext (poppler) and rsvg-convert (librsvg) make dots and text of the pages;
    zbarimg (zbar) reads QR codes, dmtxread (libdmtx) Data Matrix.

Each label is cut out of its page and read as it is, turned by 90, 180 and 7 degrees, and with a tenth of its symbol (of
a Data Matrix 8 %, see below) covered by black or white. What is covered is data: a symbol whose finder pattern is gone (the three squares of a QR
code and the small one near its fourth corner, the L of a Data Matrix) is not found by every reader, and no error
correction helps. A QR code of level Q restores a quarter of its codewords (ISO/IEC 18004), a Data Matrix of these sizes
18 to 20 % (ISO/IEC 16022); a square stain on a tenth of its area, the codewords cut by its edge counted, is about that
much, so that some are lost: layouts for what gets dirty have QR codes. Every symbol must give exactly
the text that was put in; none may be missed. No symbol may be found on a proof.
"""
import argparse
import concurrent.futures
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree

from PIL import Image, ImageChops, ImageDraw, ImageFilter

LAYOUTS = ["small", "large", "strip", "a4", "letter", "bag", "vial"]
COLUMNS = ("page x y width height kind sx sy swidth sheight symbol name check depth scale hazard "
           "bx by bwidth bheight").split()
COVERED = {"qr": 0.10, "matrix": 0.08}
MM = 25.4

LABELS = 10  # things in draw_labels.c
LONG = "TESTS_LONG" in os.environ
# Of a label: each format at two resolutions (else the other two at the coarser alone); turned by 7 and covered, from each format
# (else from one); turned by 90, by 180.
IMAGES = 3 * 2 + 3 * 2 + 2 if LONG else 4 + 2 + 2

failures = []


def fail(where, what):
    failures.append("%s: %s" % (where, what))


def run(*words):
    done = subprocess.run([str(word) for word in words], capture_output=True, check=False)
    if done.returncode:
        raise RuntimeError("%s: exit %d: %s" % (" ".join(map(str, words)), done.returncode, done.stderr.decode()))
    return done.stdout


def draw(program, layout, form, dpi, folder, *more):
    folder.mkdir(parents=True)
    run(program, layout, form, dpi, folder, 0, *more)
    rows = []
    for line in (folder / "labels.tsv").read_text(encoding="utf-8").splitlines():
        row = dict(zip(COLUMNS, line.split("\t")))
        for key in row:
            if key in "page x y width height sx sy swidth sheight bx by bwidth bheight".split():
                row[key] = float(row[key])
        rows.append(row)
    return rows


def dots_of(folder, form, page, dpi):
    """A page as dots, by a program that is not ours unless it is dots already."""
    source = folder / ("%d.%s" % (page, form))
    target = folder / ("%d-%d-dots" % (page, dpi))
    if form == "pdf":
        if not target.with_name("dots").exists():  # all pages at once
            run("pdftoppm", "-r", dpi, "-gray", folder / "1.pdf", folder / "page")
            target.with_name("dots").touch()
        found = [path for path in folder.glob("page-*.pgm") if int(path.stem.split("-")[1]) == page]
        return Image.open(found[0]).convert("L")
    if form == "svg":
        target = target.with_suffix(".png")
        run("rsvg-convert", "-d", dpi, "-p", dpi, "-b", "white", "-o", target, source)
        return Image.open(target).convert("L")
    image = Image.open(source)
    if abs(image.info["dpi"][0] - dpi) > 0.1:
        fail(source, "says %s dots an inch, not %d" % (image.info["dpi"], dpi))
    if any(image.convert("L").histogram()[1:255]):
        fail(source, "has dots that are neither black nor white")
    return image.convert("L")


def part(image, dpi, x, y, width, height):
    scale = dpi / MM
    return image.crop((round(x * scale), round(y * scale), round((x + width) * scale), round((y + height) * scale)))


def covered(label, row, dpi, number):
    """A part of the symbol's area, quiet zone not counted, black or white, in one of the places free of finder
    patterns and of the lines inside a Data Matrix: a QR code's squares leave its middle, a Data Matrix of up to 2 x 2
    regions the middle of each quarter."""
    scale = dpi / MM
    left, top = round(row["sx"] * scale), round(row["sy"] * scale)
    side = round(row["swidth"] * scale)
    dark = label.crop((left, top, left + side, top + side)).point(lambda grey: 255 if grey < 128 else 0)
    box = dark.getbbox()
    width = box[2] - box[0]
    edge = width * COVERED[row["kind"]] ** 0.5
    if row["kind"] == "qr":
        centres = [(0.5, 0.5), (0.52, 0.48), (0.48, 0.52), (0.53, 0.53)]
    else:
        centres = [(0.27, 0.27), (0.73, 0.27), (0.27, 0.73), (0.73, 0.73)]
    centre = centres[number % len(centres)]
    x = left + box[0] + centre[0] * width - edge / 2
    y = top + box[1] + centre[1] * width - edge / 2
    image = label.copy()
    ImageDraw.Draw(image).rectangle((round(x), round(y), round(x + edge), round(y + edge)),
                                    fill=255 if number % 3 else 0)
    return image


def turned(image, degrees):
    if degrees in (90, 180):
        return image.transpose({90: Image.Transpose.ROTATE_90, 180: Image.Transpose.ROTATE_180}[degrees])
    return image.rotate(degrees, resample=Image.Resampling.BICUBIC, expand=True, fillcolor=255)


def framed(image):
    """On a white table."""
    out = Image.new("L", (image.width + 40, image.height + 40), 255)
    out.paste(image, (20, 20))
    return out


def read_qr(paths):
    """One call for many images: {path: [texts]}."""
    done = subprocess.run(["zbarimg", "--quiet", "--xml", "-Sdisable", "-Sqrcode.enable", *map(str, paths)],
                          capture_output=True, check=False)
    found = {str(path): [] for path in paths}
    text = re.sub(r"<barcodes[^>]*>", "<barcodes>", done.stdout.decode("utf-8"))
    for source in xml.etree.ElementTree.fromstring(text).iter("source"):
        found[source.get("href")] = [data.text for data in source.iter("data")]
    return found


def read_matrix(path):
    done = subprocess.run(["dmtxread", "--stop-after=1", "--milliseconds=4000", str(path)], capture_output=True,
                          check=False)
    return {str(path): [done.stdout.decode("utf-8")] if done.stdout else []}


def check_text(folder, row, where):
    """What can be selected and searched in the PDF: every word of the label, whatever line it came to stand on."""
    scale = 72 / MM
    words = ["-x", round(row["x"] * scale), "-y", round(row["y"] * scale), "-W", round(row["width"] * scale), "-H",
             round(row["height"] * scale)]
    text = run("pdftotext", "-r", 72, "-f", int(row["page"]), "-l", int(row["page"]), *words, folder / "1.pdf", "-")
    text = re.sub(r"\s+", "", text.decode("utf-8"))
    for key in ("name", "check", "depth", "scale", "hazard"):
        for word in row[key].split():
            if word not in text:
                fail(where, "pdftotext does not find '%s' of %s '%s' in '%s'" % (word, key, row[key], text))
    if "isotopes" in text and "<b>&amp;\u00f8kologie\u03b4\u00b9\u00b3C" not in text:
        fail(where, "what looks like markup did not stay text, or a letter is missing: '%s'" % text)


def share_dark(image):
    return sum(image.histogram()[:128]) / (image.width * image.height)


def check_bar(label, row, dpi, where):
    """A hazard is white on black: mostly black, not all of it. Without one the place stays empty."""
    share = share_dark(part(label, dpi, row["bx"] + 0.3, row["by"] + 0.3, row["bwidth"] - 0.6, row["bheight"] - 0.6))
    if row["hazard"] and not 0.5 < share < 0.99:
        fail(where, "%.0f %% of the bar of '%s' is black" % (share * 100, row["hazard"]))
    if not row["hazard"] and share:
        fail(where, "ink where no hazard is")


def make_images(program, layout, folder):
    """All images of a layout with what they should say: [(path, row, where)]."""
    images = []
    dots = {}
    for form in ("pdf", "svg", "png"):
        for dpi in (203, 300) if LONG or form == "pdf" else (203,):
            here = folder / ("%s-%s-%d" % (layout, form, dpi))
            rows = draw(program, layout, form, dpi, here)
            pages = {page: dots_of(here, form, int(page), dpi) for page in {row["page"] for row in rows}}
            for number, row in enumerate(rows):
                where = "%s, %s at %d dpi, %s" % (layout, form, dpi, row["name"])
                label = part(pages[row["page"]], dpi, row["x"], row["y"], row["width"], row["height"])
                variants = {"": label}
                if dpi == 203 and (LONG or form == "png"):  # the coarser, so the harder
                    variants["turned by 7"] = turned(label, 7)
                    variants["covered"] = covered(label, row, dpi, number)
                if dpi == 203 and form == "png":  # the same dots, whatever they came from
                    variants["turned by 90"] = turned(label, 90)
                    variants["turned by 180"] = turned(label, 180)
                for variant, image in variants.items():
                    path = here / ("label-%d%s.pgm" % (number, variant.replace(" ", "-")))
                    framed(image).save(path)
                    images.append((path, row, "%s %s" % (where, variant)))
                check_bar(label, row, dpi, where)
                dots[form, dpi, number] = label
                if form == "pdf" and dpi == 300:
                    check_text(here, row, where)
                if form == "svg" and dpi == 203:
                    check_same(dots["pdf", dpi, number], label, where)
    return images


def check_same(pdf, svg, where):
    """Letters in an SVG are outlines, so no program finds text there: it must look as the PDF does. Blurred, since
    edges of letters differ by parts of a dot."""
    size = (pdf.width // 4, pdf.height // 4)
    one, other = (image.filter(ImageFilter.GaussianBlur(3)).resize(size) for image in (pdf, svg))
    worst = ImageChops.difference(one, other).getextrema()[1]
    if worst > 64:
        fail(where, "differs from the PDF by %d of 255" % worst)


def check_proof(program, layout, folder):
    rows = draw(program, layout, "png", 203, folder / (layout + "-proof"), "proof")
    plain = Image.open(folder / (layout + "-png-203") / "1.png")
    for path in sorted((folder / (layout + "-proof")).glob("*.png")):
        found = read_qr([path]) if rows[0]["kind"] == "qr" else read_matrix(path)
        if any(found.values()):
            fail(path, "a proof holds a symbol: %s" % found)
    if not ImageChops.difference(plain, Image.open(folder / (layout + "-proof") / "1.png")).getbbox():
        fail(layout, "a proof looks as the label does")


def check_again(program, layout, folder):
    """The same job makes the same bytes."""
    for form in ("pdf", "svg", "png"):
        again = folder / ("%s-%s-again" % (layout, form))
        draw(program, layout, form, 203, again)
        for path in again.glob("*." + form):
            first = folder / ("%s-%s-203" % (layout, form)) / path.name
            if path.read_bytes() != first.read_bytes():
                fail(path, "drawn again it has other bytes")
    told = run("pdfinfo", "-isodates", folder / (layout + "-pdf-again") / "1.pdf").decode("utf-8")
    if not re.search(r"CreationDate: +2026-03-01T04:12:00Z", told):
        fail(layout, "a PDF has another date than its job: %s" % told)


def check_layout(program, layout, folder):
    images = make_images(program, layout, folder)
    found = {}
    paths = [path for path, row, _ in images if row["kind"] == "qr"]
    if paths:
        found.update(read_qr(paths))
    for path, row, _ in images:
        if row["kind"] == "matrix":
            found.update(read_matrix(path))
    for path, row, where in images:
        if found[str(path)] != [row["symbol"]]:
            fail(where, "read %s, not '%s' (%s)" % (found[str(path)] or "nothing", row["symbol"], path.name))
    check_proof(program, layout, folder)
    check_again(program, layout, folder)
    return len(images)


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--program", type=pathlib.Path, required=True, help="draw_labels")
    parser.add_argument("--keep", type=pathlib.Path, help="leave the images in this folder")
    parser.add_argument("--layouts", nargs="+", choices=LAYOUTS, default=LAYOUTS)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as temporary:
        folder = given.keep or pathlib.Path(temporary)
        with concurrent.futures.ProcessPoolExecutor(2) as pool:
            counts = list(pool.map(check_one, [(given.program, layout, folder) for layout in reversed(given.layouts)]))
    told = [failure for _, own in counts for failure in own]
    for failure in told:
        print(failure)
    symbols = sum(count for count, _ in counts)
    print("%d symbols read, %d failures" % (symbols, len(told)))
    return 1 if told or symbols < len(given.layouts) * LABELS * IMAGES else 0


def check_one(given):
    failures.clear()
    return check_layout(*given), list(failures)


if __name__ == "__main__":
    sys.exit(main())
