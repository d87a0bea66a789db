"""All checks of a spec of 60 lines, with runs and cables, take no more than 15 queries."""

import pytest

from builds.specs.models import SpecVersion
from builds.specs.sanity import findings_of
from parts.workshop.models import Workshop
from tests.benchmarks.bench_checks import whole_machine


@pytest.mark.parametrize("lines", [20, 60])
def test_the_queries_of_all_checks_do_not_grow(db, lines, django_assert_num_queries):
    spec, workshop = whole_machine(lines), Workshop.current()
    fresh = SpecVersion.objects.get(pk=spec.pk)
    with django_assert_num_queries(11):
        findings = findings_of(fresh, workshop)
    assert len(fresh.lines.all()) == lines
    assert {"cables", "bends"} <= {finding.rule for finding in findings}
