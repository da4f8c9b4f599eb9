"""Reads a calendar with an outside reader (python3-icalendar) and holds it against RFC 5545. Arguments: file, and "looks" where it is
that of looks at repairs alone. Prints "agrees", "skip: why", or what is wrong."""
import datetime
import sys

try:
    import icalendar
except ImportError:
    print("skip: python3-icalendar is not installed")
    sys.exit()

wrong = []
with open(sys.argv[1], "rb") as file:
    raw = file.read()
calendar = icalendar.Calendar.from_ical(raw)
events = list(calendar.walk("VEVENT"))
if calendar.errors or any(e.errors for e in events):
    wrong.append(f"the reader found {calendar.errors} {[e.errors for e in events]}")
for name in ("VERSION", "PRODID"):
    if name not in calendar:
        wrong.append(f"no {name}")
if len({str(e["UID"]) for e in events}) != len(events):
    wrong.append("a UID stands twice")
kinds = {"Works": 0, "Keep": 0, "Look": 0, "water": 0}
for event in events:
    summary = str(event["SUMMARY"])
    for kind in kinds:
        kinds[kind] += summary.startswith(kind) or summary.endswith(kind + " may come back")
    start = event.decoded("DTSTART")
    if isinstance(start, datetime.datetime):
        if start.tzinfo is not None:
            wrong.append(f"{summary}: not floating")
        if "DTEND" in event and not event.decoded("DTEND") > start:
            wrong.append(f"{summary}: ends before it begins")
    elif not summary.startswith("Look"):
        wrong.append(f"{summary}: a whole day")
    if len(sys.argv) == 2 and event.decoded("DTSTAMP") != datetime.datetime(2026, 3, 1, tzinfo=datetime.timezone.utc):
        wrong.append(f"{summary}: DTSTAMP {event.decoded('DTSTAMP')}")
    alarms = [a.decoded("TRIGGER") for a in event.walk("VALARM")]
    if alarms != ([datetime.timedelta(minutes=-15)] if summary.startswith("Keep") else []):
        wrong.append(f"{summary}: alarms {alarms}")
looks = sys.argv[2:] == ["looks"]
if looks and kinds["Look"] != len(events):
    wrong.append(f"events {kinds} of {len(events)}")
if not looks and (kinds["water"] != 20 or min(kinds.values()) < 3 or sum(kinds.values()) != len(events)):
    wrong.append(f"events {kinds} of {len(events)}")
if icalendar.Calendar.from_ical(calendar.to_ical()).to_ical() != calendar.to_ical():
    wrong.append("not the same when written again")
print("\n".join(wrong[:20]) or "agrees")
