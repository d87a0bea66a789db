"""What the list of parts is asked for, from its address: a typed line, a kind, bounds on the kind's facts."""

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from parts.kinds import all_kinds, write_fact
from thermal.units import QuantityError, symbol

from .models import Part
from .query import MOST, fact_condition, read_query

SORTS = {
    "kind": (_("kind"), ["kind", "name"]),
    "name": (_("name"), ["name", "kind"]),
    "maker": (_("maker"), ["maker", "name"]),
    "newest": (_("newest first"), ["-pk"]),
}


class FactsFilter(forms.Form):
    """Bounds on the facts of one kind: the least and the most of a number, one of a text's choices."""

    def __init__(self, *args, kind, **kwargs):
        super().__init__(*args, **kwargs)
        self.kind = kind
        for spec in kind.facts:
            for name, field in self._fields(spec):
                field.required = False
                self.fields[name] = field

    @staticmethod
    def _fields(spec):
        label = capfirst(spec.label)
        if spec.choices:
            return [(f"f_{spec.name}", forms.ChoiceField(label=label, choices=[("", _("any")), *_twice(spec.choices)]))]
        if spec.unit == "yes":
            yes_no = [("", _("any")), ("1", write_fact(spec, 1.0)), ("0", write_fact(spec, 0.0))]
            return [(f"f_{spec.name}", forms.ChoiceField(label=label, choices=yes_no))]
        if spec.is_text:
            hint = {"placeholder": spec.example, "autocomplete": "off"}
            return [(f"f_{spec.name}", forms.CharField(label=label, max_length=60, widget=forms.TextInput(hint)))]
        unit = "" if spec.unit == "count" else symbol(spec.shown_in or spec.unit)
        return [
            (f"f_{spec.name}_{op}", BoundField(spec, op, label=word, unit=unit))
            for op, word in (("gte", _("at least")), ("lte", _("at most")))
        ]

    @property
    def likely(self):
        """[(label, its fields)] of the facts that parts of this kind are mostly told apart by."""
        return [group for name, *group in self._groups() if name in self._telling()]

    @property
    def others(self):
        """The same of the other facts, in their declared order."""
        return [group for name, *group in self._groups() if name not in self._telling()]

    @property
    def asks_others(self):
        """Whether one of the other facts is filled in, so that they stay open."""
        return any(field.value() for _label, fields in self.others for field in fields)

    def _telling(self):
        return {*self.kind.brief, *self.kind.measures, *self.kind.sized}

    def _groups(self):
        """[(fact's name, its label, [bound field])]"""
        for spec in self.kind.facts:
            names = [f"f_{spec.name}{end}" for end in ("", "_gte", "_lte")]
            yield spec.name, capfirst(spec.label), [self[name] for name in names if name in self.fields]

    @property
    def conditions(self):
        """[Condition] of what was filled in and could be read."""
        found = []
        for name, value in getattr(self, "cleaned_data", {}).items():
            if value and hasattr(value, "op"):
                found.append(value)
            elif value:
                found.append(fact_condition(self.kind.fact(name[2:]), "exact", value))
        return found


class BoundField(forms.CharField):
    """One bound of a numeric fact, typed with its unit or without; a Condition."""

    def __init__(self, spec, op, unit, **kwargs):
        self.spec, self.op, self.suffix = spec, op, unit
        attrs = {"autocomplete": "off", "inputmode": "decimal", "class": "short"}
        super().__init__(max_length=40, widget=forms.TextInput(attrs=attrs), **kwargs)

    def clean(self, value):
        text = super().clean(value)
        if not text:
            return None
        try:
            return fact_condition(self.spec, self.op, text)
        except QuantityError as error:
            raise forms.ValidationError(str(error)) from None
        except ValueError:
            raise forms.ValidationError(_("Type a whole number.")) from None


class Asked:
    """What one address of the list asks for. data: its GET parameters."""

    def __init__(self, data):
        self.q = data.get("q", "")[:MOST]
        chosen = all_kinds().get(data.get("kind", ""))
        self.kind = chosen.key if chosen else ""
        self.sort = data.get("sort", "") if data.get("sort") in SORTS else "kind"
        self.withdrawn, self.in_stock = bool(data.get("withdrawn")), bool(data.get("in_stock"))
        self.query = read_query(self.q, self.kind)
        self.query.in_stock = self.query.in_stock or self.in_stock
        shown = all_kinds().get(self.query.kind)
        self.facts = FactsFilter(data, kind=shown) if shown and shown.facts else None
        if self.facts:
            self.facts.is_valid()
            self.query.conditions += self.facts.conditions

    @property
    def parts(self):
        """The parts asked for, in the order asked for."""
        found = Part.objects.answering(self.query)
        return (found if self.withdrawn else found.offered()).order_by(*SORTS[self.sort][1])

    @property
    def narrowed(self):
        """Whether a fact is asked for in the form, so that it stays open."""
        return bool(self.facts and (self.facts.conditions or self.facts.errors))


def _twice(choices):
    return [(choice, choice) for choice in choices]
