"""How often a password may be tried: counted in the database, so over all processes, by account and by network.

A browser that once signed in to an account is known to it and counted by itself. Strangers who guess can therefore
shut each other out, but never the person at their own bench (the device cookie of OWASP's "Slow Down Online Guessing
Attacks with Device Cookies").
"""

import ipaddress
from datetime import timedelta

from django.db import models
from django.utils import timezone
from django.utils.crypto import salted_hmac

PERIOD = timedelta(minutes=15)
FROM_KNOWN, FROM_NETWORK, FROM_STRANGERS, OF_NETWORK = 10, 5, 20, 30  # wrong tries in PERIOD, see SignInTry._limits


class Held(Exception):
    """Too many wrong tries; wait says how long until the next may be made."""

    def __init__(self, wait):
        super().__init__(wait)
        self.wait = wait


def account_key(name):
    """What is kept of the name typed, which may be a password in the wrong field: a keyed hash."""
    return salted_hmac("loopwright.tries", name.strip().casefold(), algorithm="sha256").hexdigest()


def network_of(address):
    """The address a try comes from; of IPv6 the first 64 bits, all of which one house has to itself.

    >>> network_of("192.0.2.7"), network_of("2001:db8:1:2:3:4:5:6"), network_of("::ffff:192.0.2.7"), network_of(None)
    ('192.0.2.7', '2001:db8:1:2::', '192.0.2.7', '')
    """
    if not address:
        return ""
    found = ipaddress.ip_address(address)
    if found.version == 6 and found.ipv4_mapped:
        return str(found.ipv4_mapped)
    return str(ipaddress.ip_network((found, 64), strict=False).network_address) if found.version == 6 else str(found)


class SignInTry(models.Model):
    """A try to sign in that was wrong, or is not yet known to be right. browser: the known one it came from, if any."""

    account = models.CharField(max_length=64, db_index=True)
    network = models.CharField(max_length=45, db_index=True)
    browser = models.CharField(max_length=32, blank=True)
    at = models.DateTimeField(default=timezone.now, db_index=True)

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self):
        return f"{self.at:%Y-%m-%d %H:%M} {self.network}"

    @classmethod
    def begin(cls, name, address, browser=""):
        """Count one more try before its password is looked at; Held when there were too many.

        It is written first and counted after, so of many at once no more than allowed get through. A try that is held
        does not count: waiting ends, however often somebody knocks meanwhile.
        """
        cls.objects.filter(at__lt=timezone.now() - PERIOD).delete()
        made = cls.objects.create(account=account_key(name), network=network_of(address), browser=browser)
        wait = made.wait()
        if wait:
            made.delete()
            raise Held(wait)
        return made

    def _limits(self):
        """[(tries that count together with this one, how many are allowed)]."""
        tries = SignInTry.objects.filter(at__gt=timezone.now() - PERIOD)
        if self.browser:
            return [(tries.filter(account=self.account, browser=self.browser), FROM_KNOWN)]
        strangers = tries.filter(browser="")
        return [
            (strangers.filter(account=self.account, network=self.network), FROM_NETWORK),
            (strangers.filter(account=self.account), FROM_STRANGERS),
            (strangers.filter(network=self.network), OF_NETWORK),
        ]

    def wait(self, more=0):
        """How long until this try, and `more` after it, stay within every limit; zero when they do."""
        latest = [tries.values_list("at", flat=True)[allowed - more :][:1] for tries, allowed in self._limits()]
        ends = [at + PERIOD - timezone.now() for found in latest for at in found]
        return max([timedelta(0), *ends])

    def left(self):
        """How many more may be made now."""
        return min(max(0, allowed - tries.count()) for tries, allowed in self._limits())

    def was_right(self):
        """Forget this try and the wrong ones before it that came the same way to the same account."""
        same = SignInTry.objects.filter(account=self.account, browser=self.browser)
        (same if self.browser else same.filter(network=self.network)).delete()
