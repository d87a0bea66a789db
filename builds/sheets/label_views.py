from django.http import HttpResponse
from django.views.decorators.http import require_safe

from parts.shelf.models import Place, Tray
from parts.workshop.access import for_workshop
from parts.workshop.answers import answer

from .labels import MOST, labels_pdf


@for_workshop
@require_safe
def labels(request):
    """Choose shelf places and trays, and print their labels."""
    places, trays = (_chosen(request, name) for name in ("place", "tray"))
    if places or trays:
        site = request.build_absolute_uri("/")
        pdf = labels_pdf(Place.objects.filter(pk__in=places), Tray.objects.filter(pk__in=trays), site)
        headers = {"Content-Disposition": 'inline; filename="labels.pdf"'}
        return HttpResponse(pdf, content_type="application/pdf", headers=headers)
    context = {"places": Place.objects.all()[:MOST], "trays": Tray.objects.order_by("-is_free_shelf", "-pk")[:MOST]}
    return answer(request, "sheets/choose_labels.html", context)


def _chosen(request, name):
    return [int(pk) for pk in request.GET.getlist(name)[:MOST] if pk.isdecimal() and len(pk) < 13]
