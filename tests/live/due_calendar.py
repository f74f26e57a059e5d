"""The calendar of `stillprop due`, read back by a library that knows RFC 5545."""

import json
import subprocess
from datetime import date, timedelta

# What the standard demands of an event, 3.6.1, and of a reminder that is shown, 3.6.6.
EVENT = ("UID", "DTSTAMP", "DTSTART", "SUMMARY")
REMINDER = ("ACTION", "DESCRIPTION", "TRIGGER")


def answer(path: str, *args: str) -> str:
    done = subprocess.run(
        [path, "due", "demo", *args], capture_output=True, text=True, timeout=60, check=False
    )
    return done.stdout


def faults(path: str) -> list[str]:
    """What is wrong with the calendar of the demonstration; nothing when it is sound."""
    return judge(answer(path, "--calendar", "-"), json.loads(answer(path, "--json")))


def judge(text: str, listed: dict) -> list[str]:
    from icalendar import Calendar

    try:
        calendar = Calendar.from_ical(text)
    except ValueError as error:
        return [f"calendar: {error}"]
    found = [f"calendar: {name} is missing" for name in ("VERSION", "PRODID") if name not in calendar]
    found += [f"calendar: {what}" for what in calendar.errors]
    events = list(calendar.walk("VEVENT"))
    for event in events:
        found += event_faults(event)
    if found:
        return found
    wanted = sorted(one["until"] for one in listed["due"] if one["until"])
    days = sorted(event.decoded("DTSTART").isoformat() for event in events)
    if days != wanted:
        found.append(f"calendar: days {days}, wanted {wanted}")
    if len({str(event["UID"]) for event in events}) != len(events):
        found.append("calendar: two events are one")
    return found


def event_faults(event) -> list[str]:
    found = [f"event: {name} is missing" for name in EVENT if name not in event]
    found += [f"event: {what}" for what in event.errors]
    if found:
        return found
    start = event.decoded("DTSTART")
    if type(start) is not date:
        found.append(f"event: {start!r} is no whole day")
    # An end that is there lies after the start; without one the event lasts its day.
    if "DTEND" in event and event.decoded("DTEND") <= start:
        found.append("event: it ends before it begins")
    reminders = list(event.walk("VALARM"))
    if len(reminders) != 1:
        found.append(f"event: {len(reminders)} reminders")
    for reminder in reminders:
        missing = [f"reminder: {name} is missing" for name in REMINDER if name not in reminder]
        found += missing
        if not missing and not reminder.decoded("TRIGGER") < timedelta(0):
            found.append("reminder: it does not come before")
    return found
