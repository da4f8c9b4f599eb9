"""Reads the spreadsheet back: its SUM formulas, recomputed here, equal both the values stored in the file and the
plan's totals. Arguments: file, leaks, then the totals. Prints "agrees" or what does not."""
import sys

import openpyxl

path, leaks = sys.argv[1], int(sys.argv[2])
want = [float(a) for a in sys.argv[3:]]
live, stored = openpyxl.load_workbook(path), openpyxl.load_workbook(path, data_only=True)
wrong = []


def check(what, found, wanted):
    if found is None or abs(found - wanted) > 1e-9 * max(1.0, abs(wanted)):
        wrong.append(f"{what}: {found} but {wanted}")


if [n for n in live.sheetnames if n != "Plugging"] != ["Leaks", "Quantities", "Orders", "Price"]:
    wrong.append(f"sheets {live.sheetnames}")
if live["Leaks"].max_row != leaks + 1:
    wrong.append(f"leaks {live['Leaks'].max_row - 1}")

sheet, total = stored["Quantities"], leaks + 2
names = ["Slot length", "Cut out", "Band, share", "First coat", "Last coat", "Wash", "Wash water", "Spoil"]
titles = {str(c.value).rsplit(", ", 1)[0]: c.column for c in sheet[1]}
for name, wanted in zip(names, want):
    column = titles[name]
    cells = [sheet.cell(r, column).value for r in range(2, total)]
    check(name + " stored", sheet.cell(total, column).value, sum(cells))
    check(name + " total", sheet.cell(total, column).value, wanted)
    letter = sheet.cell(1, column).column_letter
    if live["Quantities"].cell(total, column).value != f"=SUM({letter}2:{letter}{total - 1})":
        wrong.append(name + " formula")

price, formulas = stored["Price"], live["Price"]
last = price.max_row - 2
above = 0.0
for r in range(2, last + 1):
    quantity, rate, amount = (price.cell(r, c).value for c in (3, 5, 6))
    if str(formulas.cell(r, 3).value).startswith("=SUM"):
        check(f"Price row {r} share of", quantity, above)
    if not str(formulas.cell(r, 6).value).startswith("=ROUND"):
        wrong.append(f"Price row {r} has no formula")
    if abs(quantity * rate - amount) > 0.005 + 1e-9:
        wrong.append(f"Price row {r}: {quantity} x {rate} is not {amount}")
    above += amount
    above = round(above, 2)
check("Price total", price.cell(last + 2, 6).value, above)
check("Price total", above, want[9])
lines = [(price.cell(r, 1).value, price.cell(r, 6).value) for r in range(2, last + 1)]
check("Price subtotal", price.cell(last + 1, 6).value, sum(a for g, a in lines if g != "additions"))
check("Price subtotal", price.cell(last + 1, 6).value, want[8])
print("\n".join(wrong) or "agrees")
