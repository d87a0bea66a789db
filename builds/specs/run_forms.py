from django import forms
from django.utils.translation import gettext_lazy as _

from parts.workshop.forms import CarefulForm, QuantityField

from .loops import POINTS
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


class FillingForm(CarefulForm):
    """Where a loop is highest and lowest, filled and drained: four choices among its components, no heights."""

    highest = forms.ChoiceField(label=_("highest point"), required=False,
                                help_text=_("As the machine will stand: here air gathers."))  # fmt: skip
    filled_at = forms.ChoiceField(label=_("filled at"), required=False,
                                  help_text=_("Empty: at its only reservoir."))  # fmt: skip
    lowest = forms.ChoiceField(label=_("lowest point"), required=False, help_text=_("Here the last coolant stays."))
    drained_at = forms.ChoiceField(label=_("drained at"), required=False,
                                   help_text=_("The drain sits at it, or in the tube beside it."))  # fmt: skip

    def __init__(self, *args, loop, **kwargs):
        self.steps = {str(step.line.role_id): step for step in loop.ordered()}
        here = {step.pk: key for key, step in self.steps.items()}
        marked = {name: here.get(getattr(loop, f"{name}_id"), "") for name in POINTS}
        super().__init__(*args, initial=marked, **kwargs)
        choices = [("", _("not said")), *((key, step.line.role.name) for key, step in self.steps.items())]
        for name in POINTS:
            self.fields[name].choices = choices

    def values(self):
        """{point: pk of the role that is it, or None}."""
        return {name: int(self.cleaned_data[name]) if self.cleaned_data[name] else None for name in POINTS}
