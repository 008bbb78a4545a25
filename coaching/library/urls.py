from django.urls import URLPattern, path

from coaching.library import views

app_name = "library"

urlpatterns: list[URLPattern] = [
    path("exercises/", views.exercises, name="exercises"),
    path("exercises/<slug:key>/", views.exercise, name="exercise"),
    path("ladders/", views.ladders, name="ladders"),
    path("sources/", views.sources, name="sources"),
    path("guide/", views.guide, name="guide"),
]
