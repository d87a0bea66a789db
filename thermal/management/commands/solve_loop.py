"""manage.py solve_loop FILE.json…: the operating point of loops kept as documents."""

import json
import sys
from pathlib import Path

from django.core.management.base import BaseCommand

from thermal.document import load_loop, write_result
from thermal.faults import LoopFault
from thermal.judging import judge
from thermal.loop import solve
from thermal.table import table


class Command(BaseCommand):
    help = "Solve loops kept as JSON documents: one table a file, or with --json one result a line."
    requires_system_checks = []

    def add_arguments(self, parser):
        parser.add_argument("files", nargs="+", metavar="FILE.json")
        parser.add_argument("--json", action="store_true", help="print one result document a line")

    def handle(self, *args, files, **options):
        answers, faults = [], []
        for file in files:
            try:
                answers.append((file, solve(load_loop(file))))
            except LoopFault as fault:
                faults += [f"{file}: {one}" for one in fault.each()]
        if faults:
            for line in faults:
                self.stderr.write(" ".join(line.split()))
            sys.exit(2)
        for file, result in answers:
            self.stdout.write(self._shown(file, result, **options))

    def _shown(self, file, result, **options):
        if options["json"]:
            return json.dumps(write_result(result), allow_nan=False)
        return table(Path(file).name, result, judge(result)) + "\n"
