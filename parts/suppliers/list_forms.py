"""The three pages of reading in a parts list: the file, its columns, its problems."""

from django import forms
from django.utils.translation import gettext_lazy as _

from parts.catalogue.drafts import ImportDraft
from parts.catalogue.files import read_file
from parts.catalogue.headers import TARGETS, fact_targets
from parts.catalogue.listing import MOST_BYTES, ListError, column_letters
from parts.kinds import kind_choices
from parts.workshop.forms import CarefulForm


class ListFileForm(CarefulForm):
    """A file that holds a parts list; `sheets` is what was read from it."""

    file = forms.FileField(
        label=_("The list, as a CSV file or an XLSX workbook"), max_length=200,
        widget=forms.FileInput(attrs={"accept": ".csv,.tsv,.txt,.xlsx,text/csv,text/plain"}),
        help_text=_("Any order of columns, headings in any language, comma or point in prices. Up to 5 MB."),
    )  # fmt: skip
    sheets = None

    def clean_file(self):
        file = self.cleaned_data["file"]
        if file.size > MOST_BYTES:  # judged by its size alone, nothing of it is read
            raise forms.ValidationError(
                _("This file has %(size).1f MB; a parts list has at most %(most)d MB. Is it the right file?"),
                params={"size": file.size / 2**20, "most": MOST_BYTES // 2**20},
            )
        try:
            self.sheets = read_file(file.read())
        except ListError as error:
            raise forms.ValidationError(str(error)) from None
        return file

    def begin(self):
        """Keep the list as it was read; a method for carry_out."""
        return ImportDraft.begin(self.cleaned_data["file"].name, self.sheets, self.person)


def _column_choices():
    return [
        ("", _("leave it out")),
        (_("the list"), [(key, label) for key, (label, _words) in TARGETS.items()]),
        (_("facts"), list(fact_targets().items())),
    ]


class ColumnsForm(CarefulForm):
    """What each column of a list holds, and what to take for rows that do not say."""

    header = forms.IntegerField(
        label=_("Row of the headings"), min_value=0, required=False, help_text=_("0 when the list has none."),
        widget=forms.NumberInput(attrs={"class": "short"}),
    )  # fmt: skip
    decimal = forms.ChoiceField(label=_("Prices are written with a"), choices=ImportDraft.DECIMALS, required=False)
    kind = forms.ChoiceField(label=_("Kind of rows that name none"), required=False)
    supplier = forms.CharField(label=_("Supplier of rows that name none"), max_length=120, required=False)
    make_suppliers = forms.BooleanField(label=_("Make suppliers that are not known yet"), required=False)
    origin = forms.ChoiceField(
        label=_("Where its facts come from"), choices=ImportDraft._meta.get_field("origin").choices
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        draft = self.subject
        self.fields["kind"].choices = [("", _("none")), *kind_choices()]
        self.fields["header"].max_value = len(draft.rows)
        self.initial |= {name: value for name, value in draft.options.items() if name != "columns"}
        self.initial["header"] = 0 if draft.header is None else draft.header + 1
        choices = _column_choices()
        for index, target in enumerate(draft.columns):
            self.fields[f"column_{index}"] = forms.ChoiceField(
                label=self._heading(index), choices=choices, required=False, initial=target
            )

    def _heading(self, index):
        said = self.subject.headings[index] if self.subject.headings else ""
        return said or _("column %(number)d") % {"number": index + 1}

    @property
    def columns(self):
        """[(bound field, the first cells under it)] for the page."""
        start = 0 if self.subject.header is None else self.subject.header + 1
        body = [row for row in self.subject.rows[start:] if any(row)]
        return [
            (self[f"column_{index}"], [row[index] for row in body if row[index]][:3])
            for index in range(len(self.subject.columns))
        ]

    @property
    def options_fields(self):
        return [self[name] for name in self.fields if name not in {"once", "version"} and "column_" not in name]

    def clean_header(self):
        row = self.cleaned_data["header"] or 0
        if row > len(self.subject.rows):
            raise forms.ValidationError(_("The list has %(rows)d rows."), params={"rows": len(self.subject.rows)})
        return row

    def match(self):
        said = self.cleaned_data
        options = {name: said[name] for name in ImportDraft.OPTIONS if name != "columns"}
        options["columns"] = [said[f"column_{index}"] for index in range(len(self.subject.columns))]
        header = said["header"] - 1 if said["header"] else None
        return self.carry_out(lambda: self.subject.match(header, options, self.person))


class CorrectionsForm(CarefulForm):
    """A field for each cell with a problem among the rows shown, and a tick to leave a row out."""

    def __init__(self, *args, problems, shown, **kwargs):
        super().__init__(*args, **kwargs)
        self.left_out = set(self.subject.left_out)
        self.problems = {}
        for problem in problems:
            if problem.row in shown:
                self.problems.setdefault((problem.row, problem.column), []).append(problem)
        for (row, column), found in self.problems.items():
            if column is not None:
                self.fields[f"cell_{row}_{column}"] = self._field(row, column, found[0])
        for row in {row for row, _column in self.problems} | (self.left_out & set(shown)):
            self.fields[f"out_{row}"] = forms.BooleanField(
                label=_("leave row %(row)d out") % {"row": row + 1}, required=False, initial=row in self.left_out
            )

    def _field(self, row, column, problem):
        typed = self.subject.cells[row][column]
        words = {"row": row + 1, "column": column_letters(column), "what": self._word(problem.target)}
        label = _("row %(row)d, column %(column)s: %(what)s") % words
        if problem.target == "kind":
            near = list(problem.choices)
            every = [choice for choice in kind_choices() if choice not in near]
            groups = [(_("perhaps"), near), (_("every kind"), every)] if near else every
            choices = [("", typed or _("choose")), *groups]
            return forms.ChoiceField(label=label, choices=choices, required=False)
        return forms.CharField(label=label, initial=typed, required=False, max_length=2000)

    @staticmethod
    def _word(target):
        return TARGETS[target][0] if target in TARGETS else fact_targets().get(target, target)

    def problems_of(self, row):
        """[(bound field or None, [problem])] of one row."""
        return [
            (self[f"cell_{at}_{column}"] if column is not None else None, found)
            for (at, column), found in self.problems.items()
            if at == row
        ]

    def out_of(self, row):
        return self[f"out_{row}"] if f"out_{row}" in self.fields else None

    def correct(self):
        texts = {}
        for row, column in self.problems:
            text = self.cleaned_data.get(f"cell_{row}_{column}")
            changed = text is not None and text != self.subject.cells[row][column]
            if changed and (text or self.subject.columns[column] != "kind"):  # no kind chosen: as it stands
                texts[row, column] = text
        out = {int(name[4:]): ticked for name, ticked in self.cleaned_data.items() if name.startswith("out_")}
        return self.carry_out(lambda: self.subject.correct(texts, out, self.person))
