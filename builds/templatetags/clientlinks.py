"""Where the owner stands with the client's page of a job: one line on the quote sheet."""

from django import template

from builds.clientpage.models import Link, Opening

register = template.Library()


@register.inclusion_tag("clientpage/_line.html")
def client_links(job):
    """How many private links open the job's page, and when one last did."""
    last = Opening.objects.filter(link__job=job).first()
    return {"job": job, "open": Link.objects.open().filter(job=job).count(), "last": last and last.at}
