"""Quote lines and money as files for a spreadsheet: numbers are numbers, days are days, nothing is a formula."""

import csv
import datetime
import io
from decimal import Decimal as D

import pytest
from django.urls import reverse
from openpyxl import load_workbook

from parts.workshop.tables import as_csv, as_workbook

from .conftest import in_days
from .test_bills import bill, stages_of


def address(issue, form):
    return reverse("quotes:lines_file", args=[issue.quote.job.number, issue.quote.number, issue.number, form])


def workbook(client, where):
    answer = client.get(where)
    assert answer["Content-Disposition"].startswith("attachment")
    return load_workbook(io.BytesIO(answer.content)).active


def test_an_issues_lines_as_a_workbook(agreed, owner_client):
    rows = list(workbook(owner_client, address(agreed, "xlsx")).iter_rows(values_only=True))
    assert rows[0][:2] == ("what", "text")
    assert rows[1] == ("part", "pump part", None, 1, "each", 100, 100, 20)
    assert [row[6] for row in rows[-3:]] == [740, 148, 888]


def test_as_csv_they_are_the_same(agreed, owner_client):
    text = owner_client.get(address(agreed, "csv")).content.decode("utf-8-sig")
    rows = list(csv.reader(io.StringIO(text), delimiter=";"))
    assert rows[-1][6] == "888.00"


def test_no_cost_and_no_margin_is_in_them(agreed, owner_client):
    cells = {
        cell for row in workbook(owner_client, address(agreed, "xlsx")).iter_rows(values_only=True) for cell in row
    }
    assert not {80, 8, "cost", "margin"} & cells


def test_the_money_of_a_job_as_a_workbook(agreed, job, owner, owner_client):
    bill(stages_of(job)[0], owner).record_payment(owner, D("100.10"), in_days(0), "=HYPERLINK(1)")
    sheet = workbook(owner_client, reverse("quotes:money_file", args=[job.number, "xlsx"]))
    *_rest, paid = sheet.iter_rows()
    assert sheet.title == str(job)
    assert (paid[5].value, paid[5].data_type, paid[5].number_format) == (100.1, "n", "0.00")
    assert isinstance(paid[3].value, datetime.datetime)
    assert (paid[2].value, paid[2].data_type) == ("'=HYPERLINK(1)", "s")


@pytest.mark.parametrize("form", ["pdf", "exe", "xlsm"])
def test_no_other_form_is_found(agreed, job, owner_client, form):
    assert owner_client.get(address(agreed, form)).status_code == 404
    assert owner_client.get(reverse("quotes:money_file", args=[job.number, form])).status_code == 404


def test_a_helper_gets_none_of_them(agreed, job, helper_client):
    assert helper_client.get(address(agreed, "xlsx")).status_code == 403
    assert helper_client.get(reverse("quotes:money_file", args=[job.number, "xlsx"])).status_code == 403


def test_amounts_keep_every_digit():
    rows = [["amount"], [D("99999999999.99")], [D("-0.005")], [D(3)]]
    sheet = load_workbook(io.BytesIO(as_workbook(rows, "Sums"))).active
    assert [row[0].number_format for row in sheet.iter_rows(min_row=2)] == ["0.00", "0.000", "0"]
    assert as_csv(rows).decode("utf-8-sig").split() == ["amount", "99999999999.99", "-0.005", "3"]
