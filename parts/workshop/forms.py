"""The manners of every form: a once-token, a version, who is asking, errors at their field."""

import re
from decimal import Decimal

from django import forms
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from thermal.units import QuantityError, format_quantity, read_quantity

from . import audit
from .models import Once, claim_version
from .refusal import AlreadyDone, Refused, Stale

# What a limit says, in the house's words, in place of Django's own.
LIMITS = {
    "min_value": gettext_lazy("Type %(limit_value)s or more."),
    "max_value": gettext_lazy("Type %(limit_value)s or less."),
    "max_decimal_places": gettext_lazy("Type at most %(max)s digits behind the point."),
    "max_whole_digits": gettext_lazy("Type at most %(max)s digits before the point."),
    "max_digits": gettext_lazy("Type at most %(max)s digits in all."),
    "max_length": gettext_lazy("Keep it to at most %(limit_value)d characters; these are %(show_value)d."),
}


def _what_is_missing(field):
    """What to do about an empty field that must be filled."""
    if isinstance(field, forms.ChoiceField | forms.ModelChoiceField):
        return _("Choose one; it is needed.")
    if isinstance(field, forms.FileField):
        return _("Choose a file; it is needed.")
    return _("Tick this to go on.") if isinstance(field, forms.BooleanField) else _("Fill this in; it is needed.")


NO_WORD = "---------"  # what Django says for nothing chosen


def _say_nothing_chosen(field):
    """A word in the place of Django's dashes."""
    word = _("choose") if field.required else _("none")
    if getattr(field, "empty_label", None) == NO_WORD:
        field.empty_label = word
    elif isinstance(field, forms.ChoiceField) and not isinstance(field, forms.ModelChoiceField):
        first, *others = [*field.choices] or [("", "")]
        if first == ("", NO_WORD):
            field.choices = [("", word), *others]


class Careful:
    """Mixin for forms that change something.

    person: who sends it. subject: the versioned row it edits, if any (a ModelForm's instance by itself).
    `carry_out(action)` runs the action in one transaction with the once-token and version; True when its effect
    stands (now or from an earlier sending of the same form), False when a field says why not.
    """

    def __init__(self, *args, person, subject=None, **kwargs):
        super().__init__(*args, **kwargs)
        self.person = person
        self.subject = subject or getattr(self, "instance", None)
        self.result = None
        for field in self.fields.values():
            _say_nothing_chosen(field)
        self.fields["once"] = forms.CharField(widget=forms.HiddenInput, required=False, initial=Once.fresh)
        if self._versioned:
            self.fields["version"] = forms.IntegerField(
                widget=forms.HiddenInput, required=False, initial=self.subject.version
            )

    def full_clean(self):
        for field in self.fields.values():
            field.error_messages = LIMITS | field.error_messages
            if field.error_messages.get("required") == forms.Field.default_error_messages["required"]:
                field.error_messages["required"] = _what_is_missing(field)
        super().full_clean()

    @property
    def _versioned(self):
        return getattr(self.subject, "pk", None) is not None and hasattr(self.subject, "version")

    def is_valid(self):
        """A form sent before counts as valid, whatever its own effect now puts in its way (a name that is taken)."""
        return super().is_valid() or (
            self.is_bound and Once.objects.filter(token=self.cleaned_data.get("once") or "-").exists()
        )

    def carry_out(self, action):
        """Run action() once. Its return value is kept in `result`."""
        try:
            with transaction.atomic():
                Once.spend(self.cleaned_data.get("once"), self.person)
                if self._versioned and not claim_version(self.subject, self.cleaned_data.get("version") or 0):
                    raise Stale
                self.result = action()
        except AlreadyDone:
            return True
        except Stale:
            self._say_what_changed()
            return False
        except Refused as refusal:
            field = refusal.field if refusal.field in self.fields else None
            self.add_error(field, refusal.message)
            return False
        return True

    def _say_what_changed(self):
        """Show what somebody else stored beside what was typed; a second send then overwrites knowingly."""
        stored = type(self.subject).objects.get(pk=self.subject.pk)
        self.data = self.data.copy()
        self.data[self.add_prefix("version")] = str(stored.version)
        self.add_error(
            None,
            _("Somebody changed this while you were typing. Compare the marked fields, then send again."),
        )
        for name in self.fields:
            if name in {"once", "version"} or not hasattr(stored, name):
                continue
            theirs, yours = getattr(stored, name), self.cleaned_data.get(name)
            if theirs != yours:
                said = self.fields[name].prepare_value(theirs) if theirs is not None else _("nothing")
                self.add_error(name, _("Now stored: %(theirs)s") % {"theirs": said})


class CarefulForm(Careful, forms.Form):
    """A plain form with the house's manners."""


class CarefulModelForm(Careful, forms.ModelForm):
    """A form over one row; `store()` saves it with an audit entry."""

    ALSO = ()  # columns that a form of its own sets beside its fields

    def store(self, verb=None):
        return self.carry_out(lambda: self._save_recorded(verb))

    def save(self, commit=True):
        """Store the row; of one that stands the form's own columns alone, so that what moved beside them stays."""
        if not commit or self.instance.pk is None:
            return super().save(commit)
        row = super().save(commit=False)
        own = {field.name for field in row._meta.concrete_fields} & {*self._meta.fields, *self.ALSO}
        row.save(update_fields=own)
        self._save_m2m()
        return row

    def _save_recorded(self, verb):
        new = self.instance.pk is None
        names = [n for n in self.changed_data if n in self._meta.fields]
        before = None if new else {n: self.initial.get(n) for n in names}
        row = self.save()
        about = f"{row._meta.model_name} {row}"
        audit.record(
            self.person,
            verb or ("made" if new else "changed"),
            about,
            before,
            {n: self.cleaned_data.get(n) for n in names},
        )
        return row


class QuantityField(forms.CharField):
    """A number typed as a person would, with its unit: `61 CFM`, `45 mm`, `1 3/4 in`; a float in `unit`."""

    def __init__(self, *, unit, lower=None, upper=None, **kwargs):
        self.unit, self.lower, self.upper = unit, lower, upper
        super().__init__(**kwargs)

    def to_python(self, value):
        text = super().to_python(value)
        if not text:
            return None
        try:
            return read_quantity(text, self.unit, lower=self.lower, upper=self.upper, name=str(self.label or ""))
        except QuantityError as error:
            raise forms.ValidationError(str(error)) from None

    def prepare_value(self, value):
        return format_quantity(value, self.unit) if isinstance(value, int | float) else value

    def has_changed(self, initial, data):
        try:
            return self.to_python(data) != initial
        except forms.ValidationError:
            return True


class AmountField(forms.DecimalField):
    """Money or a quantity as people type it: 1.234,50 and 1,234.50 and € 12 all read."""

    default_error_messages = {"invalid": gettext_lazy("Type an amount, as in 1234.50.")}

    def __init__(self, **kwargs):
        kwargs.setdefault("max_digits", 14)
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}))
        super().__init__(**kwargs)

    def prepare_value(self, value):
        """Stored amounts without the zeros that only their column has: 148, 4.90, 1."""
        if not isinstance(value, Decimal):
            return value
        text = f"{value.normalize():f}"
        return f"{text}0" if self.decimal_places != 1 and "." in text and len(text.partition(".")[2]) == 1 else text

    def to_python(self, value):
        if value in self.empty_values or isinstance(value, Decimal):
            return super().to_python(value)
        try:
            return super().to_python(plain_number(str(value)))
        except ValueError as error:
            raise forms.ValidationError(str(error)) from None


# A currency before or behind, and the dash that some write for no cents: € 12,50; 12.50 EUR; 129,–
_AMOUNT = re.compile(
    r"(?:[^\d.,+-]|(?<=[A-Za-z])\.)*(?P<number>[-+]?\s*(?:\d[\d.,'\s]*\d|[.,]?\d+))(?:[.,][-–—]{1,2})?[^\d.,+-]*[.]?"
)


def plain_number(text, decimal=None):
    """A number in comma or point convention, perhaps with a currency sign, as a plain decimal text.

    decimal: "," or "." when the list it comes from is known to write its decimals so.
    Raises ValueError with a sentence where there is no one number, or where one mark before exactly three
    digits could mean either.

    >>> plain_number("€ 1.234,50"), plain_number("1,234.50"), plain_number("12,5"), plain_number("1 234.5 EUR")
    ('1234.50', '1234.50', '12.5', '1234.5')
    >>> plain_number("1,234", decimal=","), plain_number("1,234", decimal=".")
    ('1.234', '1234')
    >>> plain_number("129,– kr"), plain_number("kr. 45,00"), plain_number("12.50 EUR")
    ('129', '45.00', '12.50')
    >>> plain_number("12 for 3")
    Traceback (most recent call last):
    ValueError: Type an amount, as in 1234.50.
    >>> plain_number("1,234")
    Traceback (most recent call last):
    ValueError: “1,234” may mean 1234 or 1.234; type 1234.00 or 1.2340.
    """
    found = _AMOUNT.fullmatch(text.replace("−", "-").replace("’", "'").strip())
    if not found:
        raise ValueError(_("Type an amount, as in 1234.50."))
    bare = re.sub(r"[\s']", "", found["number"])
    comma, point = bare.rfind(","), bare.rfind(".")
    if comma >= 0 and point >= 0:
        bare = bare.replace("," if comma < point else ".", "")
    elif max(bare.count(","), bare.count(".")) > 1:
        return bare.replace(",", "").replace(".", "")
    elif re.fullmatch(r"[-+]?[1-9]\d{0,2}[.,]\d{3}", bare):
        if decimal:
            return bare.replace(decimal, ".") if decimal in bare else re.sub("[.,]", "", bare)
        whole, parts = bare.replace(",", "").replace(".", ""), bare.replace(",", ".")
        raise ValueError(
            _("“%(typed)s” may mean %(whole)s or %(parts)s; type %(whole)s.00 or %(parts)s0.")
            % {"typed": text.strip(), "whole": whole, "parts": parts}
        )
    return bare.replace(",", ".")
