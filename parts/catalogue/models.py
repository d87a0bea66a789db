from django.db import models, transaction
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from parts.kinds import FactError, brief_of, check_value, get_kind, kind_choices, show_fact
from parts.workshop import audit
from parts.workshop.models import AuditEntry, Versioned
from parts.workshop.photos import Photo
from parts.workshop.refusal import Refused

from .history import changes_of
from .lines import tidy
from .query import even

FACTS_SET = "facts set"
_FREE = {"stock__owner": "ours", "stock__tray__is_free_shelf": True}


class PartQuerySet(models.QuerySet):
    def with_facts(self):
        return self.prefetch_related("facts")

    def offered(self):
        """Parts that can still be bought."""
        return self.filter(withdrawn=False)

    def matching(self, words):
        """Parts whose name, maker or model, or one of whose suppliers' codes, holds every word."""
        found = self
        for word in even(words).split():
            here = models.Q(search__contains=word)
            if any(map(str.isdigit, word)):  # a code has a figure; most words need not be looked for among them
                here |= models.Q(pk__in=Part.objects.filter(prices__code__icontains=word).order_by().values("pk"))
            found = found.filter(here)
        return found

    def answering(self, query):
        """Parts that a typed query asks for; a part that does not say a fact that is asked for is not among them."""
        found = (self.filter(kind=query.kind) if query.kind else self).matching(" ".join(query.words))
        for condition in query.conditions:
            found = found.filter(Fact.objects.best_where(condition, narrowed=bool(query.kind)))
        return found.on_the_shelf() if query.in_stock else found

    def on_the_shelf(self):
        """Parts of which some lies on the free shelf and is ours."""
        return self.filter(pk__in=Part.objects.filter(stock__quantity__gt=0, **_FREE).values("pk"))

    def count_free(self, parts):
        """Give each of these parts as `free` how much of it is ours and lies on the free shelf; one query."""
        rows = self.filter(pk__in=[part.pk for part in parts], **_FREE).order_by().values_list("pk")
        free = dict(rows.annotate(models.Sum("stock__quantity")))
        for part in parts:
            part.free = free.get(part.pk, 0)
        return parts

    def keys_by_name(self, names):
        """{(kind, tidy name): pk} of the parts with one of these names, whatever their case."""
        wanted = {tidy(name) for name in names}
        rows = self.order_by().values_list("kind", "name", "pk")
        return {(kind, tidy(name)): pk for kind, name, pk in rows.iterator() if tidy(name) in wanted}

    def facts_by_name(self, names):
        """{(kind, tidy name): {fact: (origin, value)}}, the best known, of the parts with one of these names."""
        keys = self.keys_by_name(names)
        parts = self.with_facts().in_bulk(list(keys.values()))
        return {
            key: {name: (fact.origin, fact.value) for name, fact in parts[pk].known.items()} for key, pk in keys.items()
        }

    def take_lines(self, lines, origin):
        """Make the parts that a list's lines name, or change what the lines say of those here; set their facts.

        origin: of the facts of lines that name none. Returns ({line key: pk}, {"parts": [pk made], "parts changed":
        [[pk, version now, {field: value before}]], "facts": [[pk, name, origin, value before, value now]]}).
        """
        keys, said, new = self.keys_by_name([line.name for line in lines]), {}, {}
        for line in lines:
            said[line.key] = line.own | said.get(line.key, {})
        old = {key: pk for key, pk in keys.items() if key in said}
        for line in lines:
            if line.key not in old and line.key not in new:
                new[line.key] = Part.of_line(line, said[line.key])
        self.bulk_create(new.values(), batch_size=500)
        keys |= {key: part.pk for key, part in new.items()}
        self._name_successors(lines, new, keys, said)
        altered = self._alter(old, said)
        facts = {(keys[line.key], name, line.origin or origin): v for line in lines for name, v in line.facts.items()}
        stored = Fact.objects.filter(part__in={pk for pk, _name, _origin in facts})
        before = {(fact.part_id, fact.name, fact.origin): fact.value for fact in stored}
        changed = [[*place, before.get(place), value] for place, value in facts.items() if before.get(place) != value]
        Fact.objects.write(Fact.of(pk, name, value, origin) for pk, name, origin, _before, value in changed)
        made = [part.pk for part in new.values()]
        return keys, {"parts": made, "parts changed": altered, "facts": changed}

    def _name_successors(self, lines, new, keys, said):
        """Note in said {line key: {field: value}} which part stands in for which, and write it into those just made."""
        named = {line.key: (line.kind, tidy(line.successor)) for line in lines if line.successor}
        known = self.keys_by_name({name for _kind, name in named.values()}) | keys if named else {}
        for key, successor in named.items():
            if successor in known:
                said[key]["successor_id"] = known[successor]
        joined = [part for key, part in new.items() if "successor_id" in said[key]]
        for part in joined:
            part.successor_id = said[part.kind, tidy(part.name)]["successor_id"]
        self.bulk_update(joined, ["successor"], batch_size=500)

    def _alter(self, old, said):
        """Change the parts {line key: pk} as said; [[pk, version now, {field: value before}]] of all that differed."""
        parts, changed = self.in_bulk([pk for key, pk in old.items() if said[key]]), []
        for key, pk in old.items():
            if fields := pk in parts and parts[pk].differing(said[key]):
                part = parts[pk]
                changed.append([part, {name: getattr(part, name) for name in fields}])
                vars(part).update(fields, version=part.version + 1)
                part.search = part.words
        fields = {name for _part, before in changed for name in before} | {"search", "version"}
        self.bulk_update([part for part, _before in changed], fields, batch_size=200)
        return [[part.pk, part.version, before] for part, before in changed]


class Part(Versioned):
    """Something that can be bought and built in."""

    kind = models.CharField(_("kind"), max_length=24, choices=kind_choices, db_index=True)
    name = models.CharField(_("name"), max_length=160)
    maker = models.CharField(_("maker"), max_length=80, blank=True)
    model = models.CharField(_("model"), max_length=80, blank=True)
    warranty_months = models.PositiveSmallIntegerField(_("warranty, months"), null=True, blank=True)
    note = models.TextField(_("note"), blank=True)
    withdrawn = models.BooleanField(_("withdrawn"), default=False)
    successor = models.ForeignKey(
        "self", models.SET_NULL, null=True, blank=True, related_name="+", verbose_name=_("successor")
    )
    photo = models.ForeignKey(
        Photo, models.PROTECT, null=True, blank=True, editable=False, related_name="+", verbose_name=_("photo")
    )
    search = models.CharField(max_length=340, editable=False, db_index=True)

    objects = PartQuerySet.as_manager()

    class Meta:
        ordering = ["kind", "name"]
        constraints = [models.UniqueConstraint(fields=["kind", "name"], name="part_once_per_kind")]

    def __str__(self):
        return self.name

    def save(self, *args, **kwargs):
        self.search = self.words
        super().save(*args, **kwargs)

    @classmethod
    def of_line(cls, line, own):
        """A part, not stored yet, as a line of a parts list says. own: {field: value} of its own fields."""
        part = cls(kind=line.kind, name=line.name, **{"note": line.remark, **own})
        part.search = part.words
        return part

    def differing(self, own):
        """Those of its own fields {name: value} that are otherwise here."""
        return {name: value for name, value in own.items() if getattr(self, name) != value}

    @property
    def words(self):
        """What the search looks in; stored with each save."""
        return even(" ".join(filter(None, [self.name, self.maker, self.model])))

    @property
    def spec(self):
        """The declaration of this part's kind."""
        return get_kind(self.kind)

    @property
    def unit(self):
        return self.spec.unit

    @property
    def known(self):
        """Best value of each fact by name: measured beats declared beats typical. Uses prefetched facts."""
        best = {}
        for fact in sorted(self.facts.all(), key=lambda f: f.rank, reverse=True):
            best[fact.name] = fact
        return best

    def fact(self, name):
        """The best value of one fact (float or text; 1.0 or 0.0 for yes or no), or None when it is not known."""
        found = self.known.get(name)
        return found.value if found else None

    @property
    def sheet(self):
        """[(declaration, its facts, best first)] in the declared order. Uses prefetched facts."""
        facts = sorted(self.facts.all(), key=lambda f: f.rank)
        return [(spec, [fact for fact in facts if fact.name == spec.name]) for spec in self.spec.facts]

    def history(self, name=""):
        """[FactChange] of its facts, or of one of them, newest first, from the audit trail."""
        entries = AuditEntry.objects.filter(verb=FACTS_SET, about=f"part {self.pk}").select_related("person")
        return changes_of(entries, self.spec, dict(Fact.ORIGINS), name)

    @property
    def in_brief(self):
        """The facts that tell parts of this kind apart, as text for a line in a list. Uses prefetched facts."""
        return brief_of(self.spec, {name: fact.value for name, fact in self.known.items()})

    @transaction.atomic
    def picture(self, clean, by):
        """Show a CleanPhoto with the part, in place of the one before; None takes that away."""
        before, self.photo = self.photo_id, Photo.keep(clean, by) if clean else None
        if before != self.photo_id:
            self.save(update_fields=["photo"])
            audit.record(by, "pictured", f"part {self.pk}", {"photo": before}, {"photo": self.photo_id})

    @transaction.atomic
    def set_fact(self, name, value, origin, by):
        """Set one fact of one origin; None forgets it. Raises Refused."""
        self.set_facts({name: value}, origin, by)

    @transaction.atomic
    def set_facts(self, values, origin, by):
        """Set {name: value} of one origin; None forgets a fact. All or nothing.

        Values are in the units the kind declares, or texts as typed. Raises Refused, with the field `fact_NAME`,
        for a fact this kind does not have, a value outside its bounds, or facts that contradict each other.
        """
        checked = {name: self._checked(name, value) for name, value in values.items()}
        stored = {fact.name: fact.value for fact in Fact.objects.filter(part=self, origin=origin, name__in=checked)}
        changed = {name: value for name, value in checked.items() if stored.get(name) != value}
        self.facts.filter(origin=origin, name__in=[n for n, value in changed.items() if value is None]).delete()
        Fact.objects.write(Fact.of(self.pk, name, v, origin) for name, v in changed.items() if v is not None)
        self._prefetched_objects_cache = {}
        for name, sentence in self.spec.contradictions({n: fact.value for n, fact in self.known.items()}):
            raise Refused(sentence, f"fact_{name}")
        if changed:
            before = {"origin": origin, **{name: stored.get(name) for name in changed}}
            audit.record(by, FACTS_SET, f"part {self.pk}", before, {"origin": origin, **changed})

    def _checked(self, name, value):
        spec = self.spec.fact(name)
        if spec is None:
            words = {"kind": self.spec.label, "fact": name}
            raise Refused(_now("The kind “%(kind)s” has no fact “%(fact)s”.") % words)
        if value is None:
            return None
        try:
            return check_value(spec, value)
        except FactError as error:
            raise Refused(str(error), f"fact_{name}") from None


class FactQuerySet(models.QuerySet):
    def best_where(self, condition, narrowed):
        """A filter for parts: the best value of one of the condition's facts is as it asks.

        narrowed: the parts are few already (one kind's), so that each is looked up; else the index by name and
        number finds them first.
        """
        names = {"name": condition.names[0]} if len(condition.names) == 1 else {"name__in": condition.names}
        found = self.filter(**names)
        if condition.op == "holds":
            found = found.filter(text__icontains=condition.value)
        else:
            # SQLite would take the index by name and number for each of the few parts; a reckoned number has none.
            number = "reckoned" if narrowed else "number"
            found = found.alias(reckoned=models.F("number") + 0.0)
            found = found.filter(**{f"{number}__{op}": value for op, value in condition.bounds.items()})
        same = self.filter(part=models.OuterRef("part"), name=models.OuterRef("name"))
        measured, declared = (models.Exists(same.filter(origin=origin)) for origin in (Fact.MEASURED, Fact.DECLARED))
        found = found.exclude(~models.Q(origin=Fact.MEASURED) & measured)
        found = found.exclude(models.Q(origin=Fact.TYPICAL) & declared)
        if narrowed:
            return models.Exists(found.filter(part=models.OuterRef("pk")))
        return models.Q(pk__in=found.values("part"))

    def write(self, facts):
        """Store facts, each replacing the one of the same part, name and origin."""
        return self.bulk_create(
            list(facts),
            batch_size=500,
            update_conflicts=True,
            unique_fields=["part", "name", "origin"],
            update_fields=["number", "text"],
        )


class Fact(models.Model):
    """One fact of a part from one origin: a number in the unit its kind declares, or a text."""

    MEASURED, DECLARED, TYPICAL = "measured", "declared", "typical"
    ORIGINS = [
        (MEASURED, _("measured by us")),
        (DECLARED, _("as declared")),
        (TYPICAL, _("typical, from memory")),
    ]

    part = models.ForeignKey(Part, models.CASCADE, related_name="facts")
    name = models.CharField(max_length=40)
    origin = models.CharField(max_length=8, choices=ORIGINS, default=DECLARED)
    number = models.FloatField(null=True)
    text = models.CharField(max_length=200, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["part", "name", "origin"], name="fact_once_per_origin")]
        indexes = [models.Index(fields=["name", "number"])]

    def __str__(self):
        return f"{self.name} {self.value}"

    @classmethod
    def of(cls, part_pk, name, value, origin):
        """A fact, not stored yet, from a value in its declared unit or a text."""
        held = {"text": value} if isinstance(value, str) else {"number": value}
        return cls(part_id=part_pk, name=name, origin=origin, **held)

    @property
    def shown(self):
        """The value for the eye, with its unit."""
        spec = self.part.spec.fact(self.name)
        return show_fact(spec, self.value) if spec else str(self.value)

    @property
    def rank(self):
        return [origin for origin, _label in self.ORIGINS].index(self.origin)

    @property
    def value(self):
        return self.text if self.number is None else self.number
