"""Say whether what is stored agrees with itself; changes nothing."""

from django.core.management import BaseCommand, CommandError

from builds.management.keeping.verify import CHECKS


class Command(BaseCommand):
    help = "Hash every document and photo anew, add up stock and accounts from their moves; say what does not agree."

    def handle(self, *args, **options):
        wrong = 0
        for name, check in CHECKS.items():
            found = list(check())
            wrong += len(found)
            self.stdout.write(f"{name}: {f'{len(found)} wrong' if found else 'agrees'}")
            for sentence in found:
                self.stdout.write(f"  - {sentence}")
        if wrong:
            raise CommandError(f"{wrong} do not agree. Keep this installation as it is and restore a backup beside it.")
