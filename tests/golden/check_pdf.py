"""Reads a PDF's words with their boxes (pdftotext -bbox): none leaves its page or lies on another word.
Arguments: file. Prints "fits" or what does not."""
import re
import subprocess
import sys

page_at = re.compile(r'<page width="([\d.]+)" height="([\d.]+)"')
word_at = re.compile(r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>')
MARGIN = 12.0  # no printer reaches nearer to the edge
wrong = []
number, width, height, words = 0, 0.0, 0.0, []


def overlap(a, b):
    """Share of the smaller box that the two have in common; boxes are font boxes, taller than the ink."""
    w = min(a[2], b[2]) - max(a[0], b[0])
    h = min(a[3], b[3]) - max(a[1], b[1])
    if w <= 0 or h <= 0:
        return 0.0
    return w * h / min((a[2] - a[0]) * (a[3] - a[1]), (b[2] - b[0]) * (b[3] - b[1]))


def finish():
    words.sort(key=lambda w: w[1])
    for i, a in enumerate(words):
        if not (a[0] >= MARGIN and a[1] >= MARGIN and a[2] <= width - MARGIN and a[3] <= height - MARGIN):
            wrong.append(f"page {number}: \"{a[4]}\" leaves the page")
        for b in words[i + 1 :]:
            if b[1] >= a[3]:
                break
            if overlap(a, b) > 0.35:
                wrong.append(f"page {number}: \"{a[4]}\" lies on \"{b[4]}\"")


listing = subprocess.run(["pdftotext", "-bbox", sys.argv[1], "-"], capture_output=True, text=True, check=True).stdout
for line in listing.splitlines():
    page, word = page_at.search(line), word_at.search(line)
    if page:
        number, width, height, words = number + 1, float(page[1]), float(page[2]), []
    elif word:
        words.append((*(float(word[k]) for k in range(1, 5)), word[5]))
    elif "</page>" in line:
        finish()
print("\n".join(wrong[:20]) or "fits")
