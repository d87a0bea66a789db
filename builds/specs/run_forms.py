from django import forms
from django.utils.translation import gettext_lazy as _

from parts.workshop.forms import CarefulForm, QuantityField

from .runs import Run

ASKED = ("length_mm", "bends", "angles", "bulkheads", "from_port", "to_port")


class RunsForm(CarefulForm):
    """All runs of a loop at once, a row for each pair of neighbours; an empty length leaves a run unmeasured."""

    def __init__(self, *args, pairs, **kwargs):
        """pairs: {(step, next step): Run or None}."""
        super().__init__(*args, **kwargs)
        self.pairs = pairs
        for n, run in enumerate(pairs.values()):
            for name, field in self._row().items():
                field.initial = getattr(run, name) if run else field.initial
                self.fields[f"{name}_{n}"] = field

    @staticmethod
    def _row():
        """The fields of one run; the fieldset around them says between what it runs."""

        def count(label):
            return forms.IntegerField(min_value=0, max_value=20, initial=0, label=label)

        def port(label):
            return forms.ChoiceField(choices=Run.PORTS, required=False, label=label)

        return {
            "length_mm": QuantityField(unit="mm", lower=1, upper=20_000, required=False, label=_("length")),
            "bends": count(_("bends")),
            "angles": count(_("angle fittings")),
            "bulkheads": count(_("panels it goes through")),
            "from_port": port(_("leaves by")),
            "to_port": port(_("enters by")),
        }

    def rows(self):
        """[(start role, end role, its bound fields)] for the page."""
        return [
            (start.line.role, end.line.role, [self[f"{name}_{n}"] for name in ASKED])
            for n, (start, end) in enumerate(self.pairs)
        ]

    def values(self):
        """{(from step, to step): what is said of the run, or None where it is not measured}."""
        rows = ({name: self.cleaned_data[f"{name}_{n}"] for name in ASKED} for n in range(len(self.pairs)))
        return {pair: row if row["length_mm"] else None for pair, row in zip(self.pairs, rows, strict=True)}
