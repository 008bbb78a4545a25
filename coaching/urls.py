"""Where every page of the project is found."""

from django.urls import include, path

urlpatterns = [
    path("", include("sessions.urls")),
    path("", include("clients.urls")),
    path("", include("coaching.library.urls")),
    path("", include("coaching.blocks.urls")),
]
