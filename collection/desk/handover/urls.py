"""Addresses of the handover, within those of the desk."""

from django.urls import path

from collection.desk.handover import views

urlpatterns = [
    path("handover/", views.handover, name="handover"),
    path("handover/paper/", views.handover_paper, name="handover_paper"),
    path("handover/write/", views.hand_over, name="hand_over"),
    path("keys/", views.keys, name="keys"),
    path("keys/<int:key>/", views.change_key, name="change_key"),
    path("keys/<int:key>/drop/", views.drop_key, name="drop_key"),
]
