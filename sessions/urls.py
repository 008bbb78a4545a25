from django.urls import URLPattern

app_name = "sessions"

urlpatterns: list[URLPattern] = []
