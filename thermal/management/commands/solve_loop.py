"""manage.py solve_loop FILE.json…: the operating point of loops kept as documents."""

import json
import sys
from pathlib import Path

from django.core.management.base import BaseCommand

from thermal.document import load_loop, write_result
from thermal.faults import LoopFault
from thermal.judging import judge
from thermal.loop import solve
from thermal.spread import spread
from thermal.table import table


class Command(BaseCommand):
    help = "Solve loops kept as JSON documents: one table a file, or with --json one result a line."
    requires_system_checks = []

    def add_arguments(self, parser):
        parser.add_argument("files", nargs="+", metavar="FILE.json")
        parser.add_argument("--spread", action="store_true", help="add the range: 10, 50 and 90 % of every figure")
        parser.add_argument("--json", action="store_true", help="print one result document a line")

    def handle(self, *args, files, **options):
        answers, faults = [], []
        for file in files:
            try:
                answers.append((file, *self._answer(load_loop(file), options["spread"])))
            except LoopFault as fault:
                faults += [f"{file}: {one}" for one in fault.each()]
        if faults:
            for line in faults:
                self.stderr.write(" ".join(line.split()))
            sys.exit(2)
        for file, result, ranged in answers:
            self.stdout.write(self._shown(file, result, ranged, options["json"]))

    def _answer(self, loop, with_spread):
        """(Result, Spread or None)."""
        ranged = spread(loop) if with_spread else None
        return (ranged.point if ranged else solve(loop)), ranged

    def _shown(self, file, result, ranged, as_json):
        if as_json:
            return json.dumps(write_result(result, ranged), allow_nan=False)
        ranges = ranged.ranges if ranged else {}
        return table(Path(file).name, result, judge(result, spread=ranges), ranges) + "\n"
