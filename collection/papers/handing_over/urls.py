"""Address where a piece is handed over, under the papers."""

from django.urls import path

from collection.papers.handing_over import views

urlpatterns = [path("<slug:code>/", views.hand_over, name="hand_over")]
