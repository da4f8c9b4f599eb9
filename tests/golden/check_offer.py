"""Counts the spreadsheet of an offer again, with an evaluator of formulas of its own (the grammar that the sheets use, rounding as
spreadsheets do: on 15 decimal digits, half a cent up), and holds it to the plan.

usage: check_offer.py FILE TOTAL CHANGES

TOTAL is the plan's. CHANGES is a file of lines "sheet<TAB>label<TAB>value<TAB>total": a cell of column B changed, and the total
that a plan with that rate or price has. Prints "agrees" or what does not."""
import math
import re
import sys
from decimal import ROUND_HALF_UP, Decimal

import openpyxl

TOKEN = re.compile(
    r"\s*(?:(?P<range>(?:\w+!)?\$?[A-Z]+\$?\d+:\$?[A-Z]+\$?\d+)|(?P<cell>(?:\w+!)?\$?[A-Z]+\$?\d+)|(?P<name>[A-Z]+)(?=\()"
    r"|(?P<number>\d+\.?\d*(?:[eE][-+]?\d+)?)|(?P<sign><>|<=|>=|[-+*/(),<>=]))"
)


def round_half_up(value, digits):
    exact = Decimal("%.15g" % value)
    return float(exact.quantize(Decimal(1).scaleb(-int(digits)), rounding=ROUND_HALF_UP))


def ceiling(value, step):
    return math.ceil(value / step) * step  # no mercy on noise: the formula has to have its own


def flat(values):
    for value in values:
        if isinstance(value, list):
            yield from value
        else:
            yield value


FUNCTIONS = {
    "SUM": lambda *a: sum(v for v in flat(a) if isinstance(v, (int, float))),
    "MAX": lambda *a: max(v for v in flat(a) if isinstance(v, (int, float))),
    "ROUND": round_half_up,
    "CEILING": ceiling,
    "IF": lambda test, yes, no: yes if test else no,
}


class Book:
    def __init__(self, path):
        book = openpyxl.load_workbook(path)
        self.stored = openpyxl.load_workbook(path, data_only=True)
        self.cells = {(s.title, c.coordinate): c.value for s in book for row in s.iter_rows() for c in row if c.value is not None}
        self.sheets = book.sheetnames
        self.changed, self.known = {}, {}

    def change(self, at, value):
        self.changed = {at: value}
        self.known = {}

    def value(self, at):
        if at in self.changed:
            return self.changed[at]
        if at not in self.known:
            raw = self.cells.get(at)
            self.known[at] = Formula(self, at[0], raw[1:]).read() if isinstance(raw, str) and raw.startswith("=") else raw
        return self.known[at]


class Formula:
    def __init__(self, book, sheet, text):
        self.book, self.sheet, self.tokens, at = book, sheet, [], 0
        while at < len(text):
            found = TOKEN.match(text, at)
            if not found:
                raise ValueError(f"{sheet}: cannot read {text[at:]!r} of {text!r}")
            self.tokens.append((found.lastgroup, found[found.lastgroup]))
            at = found.end()
        self.tokens.append(("end", ""))
        self.at = 0

    def next(self, *signs):
        kind, text = self.tokens[self.at]
        if signs and not (kind == "sign" and text in signs):
            return None
        self.at += 1
        return text

    def read(self):
        value = self.compare()
        if self.tokens[self.at][0] != "end":
            raise ValueError(f"{self.sheet}: {self.tokens[self.at:]} is left over")
        return value

    def compare(self):
        left = self.sum()
        sign = self.next("<", ">", "=", "<=", ">=", "<>")
        if not sign:
            return left
        right = self.sum()
        return {"<": left < right, ">": left > right, "=": left == right, "<=": left <= right, ">=": left >= right, "<>": left != right}[sign]

    def sum(self):
        value = self.product()
        while sign := self.next("+", "-"):
            other = self.product()
            value = value + other if sign == "+" else value - other
        return value

    def product(self):
        value = self.single()
        while sign := self.next("*", "/"):
            other = self.single()
            value = value * other if sign == "*" else value / other
        return value

    def place(self, text):
        sheet, _, cell = text.rpartition("!")
        return sheet or self.sheet, cell.replace("$", "")

    def single(self):
        kind, text = self.tokens[self.at]
        self.at += 1
        if kind == "number":
            return float(text)
        if kind == "cell":
            value = self.book.value(self.place(text))
            return 0.0 if value is None else value
        if kind == "range":
            sheet, cells = self.place(text)
            return [self.book.value((sheet, c.coordinate)) for row in self.book.stored[sheet][cells] for c in row]
        if kind == "name":
            self.next("(")
            values = [self.compare()]
            while self.next(","):
                values.append(self.compare())
            if not self.next(")"):
                raise ValueError(f"{self.sheet}: a bracket is open")
            return FUNCTIONS[text](*values)
        if text == "(":
            value = self.compare()
            self.next(")")
            return value
        if text == "-":
            return -self.single()
        raise ValueError(f"{self.sheet}: {text!r} is not expected")


def row_of(book, sheet, column, label):
    found = [c.row for c in book.stored[sheet][column] if c.value == label]
    if len(found) != 1:
        raise ValueError(f"{sheet}: {label!r} stands in {len(found)} rows")
    return found[0]


def main(path, total, changes):
    book, wrong = Book(path), []
    if book.sheets[:4] != ["Offer", "Leaks", "Rates", "Prices"]:
        wrong.append(f"sheets {book.sheets}")
    live = 0
    for (sheet, cell), raw in book.cells.items():
        if not (isinstance(raw, str) and raw.startswith("=")):
            continue
        live += 1
        now, kept = book.value((sheet, cell)), book.stored[sheet][cell].value
        if kept is None or abs(now - kept) > 1e-9 * max(1.0, abs(now)):
            wrong.append(f"{sheet}!{cell} {raw}: {kept} is stored, {now} counted")
    if live < 10:
        wrong.append(f"only {live} formulas")
    at = ("Offer", f"F{row_of(book, 'Offer', 'B', 'Total, without tax')}")
    if abs(book.value(at) - float(total)) > 0.001:
        wrong.append(f"total {book.value(at)}, the plan's is {total}")
    with open(changes, encoding="utf-8") as file:
        for line in file:
            sheet, label, value, wanted = line.rstrip("\n").split("\t")
            book.change((sheet, f"B{row_of(book, sheet, 'A', label)}"), float(value))
            if abs(book.value(at) - float(wanted)) > 0.001:
                wrong.append(f"{sheet}, {label} = {value}: total {book.value(at)}, the plan's is {wanted}")
    leaks = book.stored["Leaks"]
    for row in range(2, leaks.max_row + 1):
        planned = leaks.cell(row, 4).value
        if planned:
            book.change(("Leaks", f"C{row}"), 2 * planned)
            scaled = [c.column_letter for c in leaks[row] if str(book.cells.get(("Leaks", c.coordinate))).endswith(f"*E{row}")]
            for letter in scaled:
                if abs(book.value(("Leaks", f"{letter}{row}")) - 2 * leaks[f"{letter}{row}"].value) > 1e-9:
                    wrong.append(f"Leaks!{letter}{row} does not follow the length")
            if scaled and not book.value(at) >= float(total):
                wrong.append(f"a longer leak in row {row} costs less")
    print("\n".join(wrong[:20]) or "agrees")


main(*sys.argv[1:])
