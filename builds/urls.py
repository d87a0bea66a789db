"""All addresses: each room brings its own."""

from django.urls import include, path

import parts.workshop.numbers  # noqa: F401  (registers the converters for J-0042 and its like)
from parts.workshop.sign_in import SignIn, SignOut

# The catalogue's addresses, and under them the import of parts lists, which also sets suppliers' prices.
CATALOGUE = [path("", include("parts.catalogue.urls")), path("import/", include("parts.suppliers.list_urls"))]

urlpatterns = [
    path("login/", SignIn.as_view(), name="login"),
    path("logout/", SignOut.as_view(), name="logout"),
    path("workshop/", include("parts.workshop.urls")),
    path("catalogue/", include((CATALOGUE, "catalogue"))),
    path("suppliers/", include("parts.suppliers.urls")),
    path("shelf/", include("parts.shelf.urls")),
    path("orders/", include("parts.orders.urls")),
    path("clients/", include("builds.clients.urls")),
    path("documents/", include("builds.sheets.urls")),
    path("c/", include("builds.clientpage.link_urls")),
    path("", include("builds.clientpage.urls")),
    path("", include("builds.jobs.urls")),
    path("", include("builds.specs.urls")),
    path("", include("builds.checks.urls")),
    path("", include("builds.labour.urls")),
    path("", include("builds.quotes.urls")),
    path("", include("builds.gathering.urls")),
    path("", include("builds.journal.urls")),
    path("", include("builds.proving.urls")),
    path("", include("builds.handover.urls")),
    path("", include("builds.board.urls")),
]
