"""Who is at the bench when: each person's week, days away, the closed days of a region."""

from decimal import Decimal
from functools import lru_cache

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models, transaction
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from parts.workshop import audit
from parts.workshop.models import Person, Versioned
from parts.workshop.refusal import Refused

from .working_time import working_time

DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
LABELS = (_("Monday"), _("Tuesday"), _("Wednesday"), _("Thursday"), _("Friday"), _("Saturday"), _("Sunday"))
USUAL_DAYS = 5


def _hours(label):
    return models.DecimalField(
        label, max_digits=3, decimal_places=1, default=Decimal(0),
        validators=[MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(16))],
    )  # fmt: skip


class BenchWeek(Versioned):
    """A person's hours at the bench from Monday to Sunday; whoever has none shares the workshop's bench hours."""

    person = models.OneToOneField(Person, models.CASCADE, related_name="bench_week")
    monday, tuesday, wednesday, thursday, friday, saturday, sunday = (_hours(label) for label in LABELS)

    def __str__(self):
        return f"bench week of {self.person}"

    @property
    def hours(self):
        """Monday to Sunday."""
        return [getattr(self, day) for day in DAYS]


class Absence(models.Model):
    """Days on which somebody is not at the bench, both ends included."""

    person = models.ForeignKey(Person, models.CASCADE, related_name="absences")
    first = models.DateField(_("first day away"))
    last = models.DateField(_("last day away"))
    note = models.CharField(_("note"), max_length=80, blank=True)

    class Meta:
        ordering = ["first", "pk"]
        constraints = [
            models.CheckConstraint(condition=models.Q(last__gte=models.F("first")), name="away_ends_after_start")
        ]

    def __str__(self):
        return f"{self.person} away {self.first} to {self.last}"

    @classmethod
    @transaction.atomic
    def enter(cls, *, person, first, last, note, by):
        """Write down that somebody is away; Refused when the days go backward."""
        if last < first:
            raise Refused(_t("The last day lies before the first; give the day before the return."), "last")
        away = cls.objects.create(person=person, first=first, last=last, note=note)
        audit.record(by, "wrote down", f"absence {person}", after={"first": first, "last": last, "note": note})
        return away

    @transaction.atomic
    def remove(self, by):
        """Take it back: the person is here after all."""
        audit.record(by, "took back", f"absence {self.person}", {"first": self.first, "last": self.last})
        self.delete()


def weeks_of(people, weekly_hours):
    """Each person's seven hours: their own week, else an even share of the workshop's bench hours, Monday to Friday.

    people: Person with bench_week selected. One pair of hands when there is nobody yet.
    """
    each = float(weekly_hours) / max(len(people), 1) / USUAL_DAYS
    even = [each] * USUAL_DAYS + [0.0, 0.0]
    weeks = [[float(h) for h in p.bench_week.hours] if hasattr(p, "bench_week") else even for p in people]
    return weeks if any(map(any, weeks)) else [[float(weekly_hours) / USUAL_DAYS] * USUAL_DAYS + [0.0, 0.0]]


def axis(workshop, today):
    """(weeks, function of a number of days that gives the WorkingTime) of the workshop; two queries."""
    people = list(Person.objects.filter(is_active=True).select_related("bench_week").order_by("pk"))
    weeks = weeks_of(people, workshop.weekly_hours)
    spans = {}
    for person, *span in Absence.objects.filter(last__gte=today).values_list("person", "first", "last"):
        spans.setdefault(person, []).append(span)
    away = [spans.get(person.pk, []) for person in people]
    idle = _days_without_anybody(today, [spans for week, spans in zip(weeks, away, strict=False) if any(week)])

    def time(days):
        days += idle  # work waits so long and is still to be laid out behind
        years = range(today.year, today.year + days // 365 + 2)
        return working_time(today, weeks, days, closed_days(workshop.holidays_of, years), away)

    return weeks, time


def _days_without_anybody(today, away):
    """On how many days from today everybody is away. away: for each person [(first, last day)]."""
    gone = [
        {day for first, last in spans for day in range(max(first, today).toordinal(), last.toordinal() + 1)}
        for spans in away
    ]
    return len(set.intersection(*gone)) if gone else 0


@lru_cache(maxsize=8)
def closed_days(region, years):
    """Public holidays of a country or its part (ISO 3166, as in GB-ENG); none for no region."""
    if not region:
        return frozenset()
    import holidays

    country, _dash, part = region.partition("-")
    return frozenset(holidays.country_holidays(country, subdiv=part or None, years=years))
