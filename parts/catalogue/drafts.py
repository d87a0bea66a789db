"""A parts list on its way into the catalogue: kept between its pages, owned by whoever sent it."""

import hashlib
from decimal import Decimal

from django.db import models, transaction
from django.utils import timezone
from django.utils.functional import cached_property
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from parts.kinds import kind_choices
from parts.workshop import audit
from parts.workshop.models import Person, Versioned
from parts.workshop.refusal import Refused

from .headers import bare, find_header, guess_columns
from .lines import Known, Matching
from .models import FACTS_SET, Fact, Part
from .row_reader import read_lines, reading_steps

SHEET = ("rows", "doubts", "notes", "links")  # what a draft keeps of each listing.Sheet


class HowToRead(models.Model):
    """How a list's columns are matched: for one list on its way, and remembered for the next of the same layout."""

    DECIMALS = [("", _("work it out")), (",", _("comma: 12,50")), (".", _("point: 12.50"))]
    columns = models.JSONField(default=list)
    decimal = models.CharField(_("prices are written with a"), max_length=1, blank=True, choices=DECIMALS)
    kind = models.CharField(_("kind of rows that name none"), max_length=24, blank=True, choices=kind_choices)
    supplier = models.CharField(_("supplier of rows that name none"), max_length=120, blank=True)
    make_suppliers = models.BooleanField(_("make suppliers that are not known yet"), default=True)
    origin = models.CharField(_("where its facts come from"), max_length=8, choices=Fact.ORIGINS, default=Fact.DECLARED)

    OPTIONS = ("columns", "decimal", "kind", "supplier", "make_suppliers", "origin")

    class Meta:
        abstract = True

    @property
    def options(self):
        return {name: getattr(self, name) for name in self.OPTIONS}


class RememberedMatching(HowToRead):
    """How a list with these headings was read the last time."""

    headings = models.CharField(max_length=64, unique=True)
    used_at = models.DateTimeField(default=timezone.now)

    def __str__(self):
        return f"{self.headings[:8]} {self.used_at:%Y-%m-%d}"

    @staticmethod
    def mark_of(headings):
        return hashlib.sha256("\n".join(map(bare, headings)).encode()).hexdigest()


class ImportDraftQuerySet(models.QuerySet):
    def of(self, person):
        """What this person may see: their own lists. The other sheets of a workbook stay unread until asked for."""
        return self.filter(person=person).defer("others")

    def in_catalogue(self):
        """Lists that were saved and not taken back: what a spec can be made from."""
        return self.filter(saved_at__isnull=False, undone_at=None)


class ImportDraft(HowToRead, Versioned):
    """A list as it was sent, how its columns are read, what was corrected in it, and what came of it.

    rows: [[text]] as in the file. header: index of the row of headings, None without one. corrections:
    {"row:column": text}. left_out: row indexes. saved: what `saved_rows` gives. changes: what an undo needs.
    Of a workbook: sheet, the name of the sheet that `rows` are of; others: the other sheets, each as a dict;
    choices: [[name, hidden]] of all of them. doubts, notes, links: as in `listing.Sheet`.
    """

    person = models.ForeignKey(Person, models.CASCADE, related_name="parts_lists")
    made_at = models.DateTimeField(default=timezone.now)
    file_name = models.CharField(max_length=120)
    rows = models.JSONField()
    sheet = models.CharField(_("sheet"), max_length=31, blank=True)
    choices = models.JSONField(default=list)
    others = models.JSONField(default=list)
    doubts = models.JSONField(default=dict)
    notes = models.JSONField(default=list)
    links = models.JSONField(default=dict)
    header = models.PositiveIntegerField(_("row of the headings"), null=True, blank=True)
    corrections = models.JSONField(default=dict)
    left_out = models.JSONField(default=list)
    matched_at = models.DateTimeField(null=True)
    saved_at = models.DateTimeField(null=True)
    saved = models.JSONField(default=list)
    changes = models.JSONField(null=True)
    undone_at = models.DateTimeField(null=True)

    objects = ImportDraftQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at"]

    def __str__(self):
        return self.file_name

    @classmethod
    def begin(cls, file_name, sheets, by):
        """Keep a list that was read; its columns are guessed, or as remembered for these headings.

        sheets: [Sheet], of which the first is taken until another is chosen.
        """
        draft = cls(person=by, file_name=file_name[:120])
        if len(sheets) > 1:
            draft.choices = [[sheet.name, sheet.hidden] for sheet in sheets]
        draft._take({"name": sheets[0].name, **_plain(sheets[0])})
        draft.others = [{"name": sheet.name, **_plain(sheet)} for sheet in sheets[1:]]
        draft.save()
        return draft

    def choose(self, name, by):
        """Read another sheet of the workbook; what was matched and corrected on this one is forgotten. Raises Refused.

        The one sheet is put aside, so that the choice can be taken back.
        """
        self._still_open()
        wanted = next((sheet for sheet in self.others if sheet["name"] == name), None)
        if wanted is None:
            raise Refused(_now("This workbook has no other sheet of that name."))
        aside = {"name": self.sheet, **_plain(self)}
        self.others = [aside, *(sheet for sheet in self.others if sheet is not wanted)]
        self._take(wanted)
        self.corrections, self.left_out, self.matched_at = {}, [], None
        self.version += 1
        self.save()
        audit.record(by, "sheet chosen", f"parts list {self.pk}", {"sheet": aside["name"]}, {"sheet": name})

    def _take(self, sheet):
        self.sheet = sheet["name"]
        for name in SHEET:
            setattr(self, name, sheet.get(name, {}))
        self.header = find_header(self.rows)
        self.columns = guess_columns(self.rows, self.header)
        remembered = RememberedMatching.objects.filter(headings=RememberedMatching.mark_of(self.headings)).first()
        if self.header is not None and remembered and len(remembered.columns) == len(self.columns):
            for name, value in remembered.options.items():
                setattr(self, name, value)

    @property
    def headings(self):
        return self.rows[self.header] if self.header is not None else []

    @cached_property
    def cells(self):
        """The rows with their corrections."""
        rows = [list(row) for row in self.rows]
        for place, text in self.corrections.items():
            row, column = map(int, place.split(":"))
            rows[row][column] = text
        return rows

    @property
    def matching(self):
        said = self.options | {"columns": tuple(self.columns)}
        return Matching(header=self.header, **said)

    @property
    def prices_set(self):
        """How many prices a saved list made or changed."""
        return len(self.changes["prices"]) + len(self.changes["prices changed"]) if self.changes else 0

    @property
    def parts_changed(self):
        """How many parts that were here already a saved list changed."""
        return len(self.changes.get("parts changed", ())) if self.changes else 0

    def match(self, header, options, by):
        """Settle how the columns are read, and remember it for lists with the same headings. Raises Refused."""
        self._still_open()
        columns = options["columns"]
        if "name" not in columns:
            raise Refused(_now("Say which column holds the parts' names."))
        if "kind" not in columns and not options["kind"]:
            raise Refused(_now("Say which column holds the kind, or choose one kind for all rows."), "kind")
        for index, target in enumerate(columns):
            if target and target in columns[:index]:
                raise Refused(_now("Two columns cannot hold the same thing; leave one out."), f"column_{index}")
        for name, value in options.items():
            setattr(self, name, value)
        self.header, self.matched_at = header, timezone.now()
        self.save(update_fields=["header", "matched_at", *self.OPTIONS])
        if header is not None:
            RememberedMatching.objects.update_or_create(
                headings=RememberedMatching.mark_of(self.headings), defaults={**self.options, "used_at": timezone.now()}
            )
        audit.record(by, "columns matched", f"parts list {self.pk}", after={"columns": ", ".join(columns)})

    def correct(self, texts, left_out, by):
        """Put texts {(row, column): text} in place of what the file says; leave rows out, or back in {row: bool}.

        A corrected kind or supplier is corrected in every row that says the same word there.
        """
        self._still_open()
        before, tidied = dict(self.corrections), {place: " ".join(text.split()) for place, text in texts.items()}
        for (row, column), text in tidied.items():
            said = self.cells[row][column]
            if said and self.columns[column] in {"kind", "supplier"}:
                alike = [other for other, cells in enumerate(self.cells) if cells[column] == said]
                self.corrections |= {f"{other}:{column}": text for other in alike}
        self.corrections |= {f"{row}:{column}": text for (row, column), text in tidied.items()}
        self.left_out = sorted((set(self.left_out) | {r for r, out in left_out.items() if out})
                               - {r for r, out in left_out.items() if not out})  # fmt: skip
        vars(self).pop("cells", None)
        self.save(update_fields=["corrections", "left_out"])
        after = {place: text for place, text in self.corrections.items() if before.get(place) != text}
        audit.record(by, "rows corrected", f"parts list {self.pk}", after={**after, "left out": self.left_out})

    def read(self, suppliers):
        """The list as lines and problems. suppliers: {tidy name: currency} of those known."""
        return read_lines(*self._to_read(suppliers))

    def read_in_steps(self, suppliers):
        """The same for a page that says how far it is: a generator of (rows done, rows in all)."""
        return reading_steps(*self._to_read(suppliers))

    def _to_read(self, suppliers):
        parts = {}
        if any(target.startswith("fact:") for target in self.columns):
            column = self.columns.index("name")
            parts = Part.objects.facts_by_name({row[column] for row in self.cells})
        doubts, links = (
            {place: said for place, said in found.items() if place not in self.corrections}
            for found in (self.doubts, self.links)
        )
        known = Known(suppliers, parts, self._successors())
        return self.cells, self.matching, known, frozenset(self.left_out), doubts, links

    def _successors(self):
        """{(kind, tidy name)} of the catalogue's parts that the list names as somebody's successor."""
        if "successor" not in self.columns:
            return frozenset()
        column = self.columns.index("successor")
        return frozenset(Part.objects.keys_by_name({row[column] for row in self.cells} - {""}))

    def keep(self, rows, changes, by):
        """Write down what was saved: rows [(part pk, quantity, remark)], and the changes that an undo takes back."""
        self.saved = [{"part": part, "quantity": str(quantity), "remark": remark} for part, quantity, remark in rows]
        self.changes = changes
        self.save(update_fields=["saved", "changes"])
        audit.record_many(by, FACTS_SET, _facts_set(changes["facts"]))
        now = Part.objects.in_bulk([pk for pk, _version, _before in changes["parts changed"]])
        told = [(f"part {now[pk]}", before, {name: getattr(now[pk], name) for name in before})
                for pk, _version, before in changes["parts changed"]]  # fmt: skip
        audit.record_many(by, "changed", told)
        counts = {name: len(what) for name, what in changes.items()}
        audit.record(by, "parts list saved", f"parts list {self.pk}", after={"rows": len(rows), **counts})

    def claim(self):
        """Take the list for saving, once; inside the transaction that saves it. Raises Refused."""
        if not type(self).objects.filter(pk=self.pk, saved_at=None).update(saved_at=timezone.now()):
            raise Refused(_now("This list was saved already; nothing was changed again."))
        self.refresh_from_db()

    def saved_rows(self, part_of=None):
        """[(part, quantity as Decimal, remark)] of a saved list in its order, without parts gone since; for a spec.

        part_of: some of `saved`, where a page shows only those.
        """
        rows = self.saved if part_of is None else part_of
        parts = Part.objects.with_facts().in_bulk([row["part"] for row in rows])
        return [
            (parts[row["part"]], Decimal(row["quantity"]), row["remark"]) for row in rows if row["part"] in parts
        ]  # fmt: skip

    @transaction.atomic
    def throw_away(self, by):
        """Forget a list that was never saved."""
        self._still_open()
        audit.record(by, "thrown away", f"parts list {self.pk}", before={"file": self.file_name})
        self.delete()

    def _still_open(self):
        if self.saved_at:
            raise Refused(_now("This list was saved already. Send the file again to read it anew."))


def _plain(sheet):
    return {name: getattr(sheet, name) for name in SHEET}


def _facts_set(changed):
    """[(part, before, after)] for the audit trail, one for each part and origin. changed: as `take_lines` gives it."""
    told = {}
    for pk, name, origin, before, value in changed:
        was, now = told.setdefault((pk, origin), ({"origin": origin}, {"origin": origin}))
        was[name], now[name] = before, value
    return [(f"part {pk}", *both) for (pk, _origin), both in told.items()]
