"""Mail the care dates that fall due; meant for a daily timer, harmless to repeat."""

from django.core.management import BaseCommand, CommandError
from django.utils import timezone

from builds.handover.reminders import WITHIN, remind
from builds.sheets import letters


class Command(BaseCommand):
    help = "Mail care dates that fall due: to clients who agreed to it, and to the workshop. Nothing is told twice."

    def add_arguments(self, parser):
        parser.add_argument("--days", type=int, default=WITHIN, help=f"how far ahead to look (default {WITHIN})")

    def handle(self, *args, days, **options):
        if not 0 <= days <= 366:
            raise CommandError("Type --days from 0 to 366.")
        told = remind(timezone.localdate(), letters.send, days)
        self.stdout.write(f"told clients of {told.clients}, the workshop of {told.owner}")
        if told.failed:
            raise CommandError(f"no letter went to: {', '.join(told.failed)}; they are tried again next time")
