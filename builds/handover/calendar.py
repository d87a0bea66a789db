"""Care dates as an iCalendar (RFC 5545): whole days, a week's warning, no client's name."""

from datetime import timedelta

from django.utils import timezone
from django.utils.translation import gettext as _

PRODUCT = "-//Loopwright//care dates//EN"
WARNING = timedelta(days=-7)


def calendar_of(dates, name, hint=""):
    """The bytes of a calendar of CareDates with their jobs. name: what it is called. hint: stands under each event."""
    from icalendar import Alarm, Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", name)
    for care in dates:
        event = Event()
        event.add("uid", f"{care.uid}@loopwright")
        event.add("dtstamp", timezone.now())
        event.add("dtstart", care.due)
        event.add("dtend", care.due + timedelta(days=1))
        event.add("summary", f"{care.job} {care.job.title}: {care.what}")
        if hint:
            event.add("description", hint)
        event.add("transp", "TRANSPARENT")
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("trigger", WARNING)
        alarm.add("description", _("in a week: %(what)s") % {"what": care.what})
        event.add_component(alarm)
        calendar.add_component(event)
    return calendar.to_ical()
