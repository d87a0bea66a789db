from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from parts.workshop.access import for_owner

from .models import Document


@for_owner
@require_safe
def download(request, pk):
    """A frozen document, byte for byte."""
    document = get_object_or_404(Document, pk=pk)
    return HttpResponse(
        document.read(),
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{document.file_name}"'},
    )
