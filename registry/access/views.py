"""Pages of the door: sign in, choose a collection, and who else may enter."""

from typing import Any

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login, update_session_auth_hash
from django.contrib.auth.decorators import login_required
from django.contrib.auth.forms import PasswordChangeForm, SetPasswordForm
from django.contrib.auth.views import LoginView
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST, require_safe

from registry.access import actions, queries
from registry.access.forms import InviteForm, RoleForm, SignInForm
from registry.access.gate import needs, outside_collections
from registry.access.roles import Role

BACKEND = "django.contrib.auth.backends.ModelBackend"
FRESH_LINK = "came_by_link"


class SignInView(LoginView):
    """Sign in; whoever opened the label of a piece reads whom to ring."""

    template_name = "access/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        """With the contact for a finder, where the collection names one."""
        asked = self.get_redirect_url()
        return super().get_context_data(**kwargs) | {
            "finder_contact": queries.finder_contact_at(asked)
        }


sign_in = outside_collections(SignInView.as_view())


@outside_collections
@require_safe
@login_required
def collections(request: HttpRequest) -> HttpResponse:
    """Choose a collection; whoever has only one is already there."""
    memberships = list(queries.memberships_of(request.user))
    if len(memberships) == 1:
        return redirect(f"/{memberships[0].collection.slug}/")
    return render(request, "access/collections.html", {"memberships": memberships})


@outside_collections
@never_cache
def one_time_link(request: HttpRequest, token: str) -> HttpResponse:
    """Show a button, since mail programs follow links by themselves; a press signs in."""
    now = timezone.now()
    if request.method != "POST":
        link = queries.open_link(token, now=now)
        return render(request, "access/link.html", {"link": link}, status=200 if link else 410)
    link = actions.spend_link(token, now=now)
    if link is None:
        return render(request, "access/link.html", {"link": None}, status=410)
    login(request, link.person, backend=BACKEND)
    request.session[FRESH_LINK] = link.asks_password
    return redirect("access:password" if link.asks_password else "access:collections")


@outside_collections
@sensitive_post_parameters()
@login_required
def password(request: HttpRequest) -> HttpResponse:
    """Set the first password, or change it; a fresh link stands in for the old one."""
    first = request.session.get(FRESH_LINK) or not request.user.has_usable_password()
    form_class = SetPasswordForm if first else PasswordChangeForm
    form = form_class(request.user, request.POST or None)
    if form.is_valid():
        actions.set_password(request.user, password=form.cleaned_data["new_password1"])
        update_session_auth_hash(request, request.user)
        request.session.pop(FRESH_LINK, None)
        messages.success(request, "The new password holds from now on.")
        return redirect("access:collections")
    return render(request, "access/password.html", {"form": form, "first": first})


@needs(Role.KEEPER)
def people(request: HttpRequest) -> HttpResponse:
    """Who may enter this collection; a keeper invites here."""
    form = InviteForm(request.POST or None, collection=request.collection)
    if not form.is_valid():
        return _people_page(request, form=form)
    invited = actions.invite(
        request.collection,
        now=timezone.now(),
        lifetime=settings.LINK_LIFETIME,
        **form.cleaned_data,
    )
    if invited.token:
        return _people_page(request, shown=invited.membership, token=invited.token)
    messages.success(request, f"{invited.membership.name} signs in as before and is now in.")
    return redirect("access:people", request.collection.slug)


@needs(Role.KEEPER)
@require_POST
def role(request: HttpRequest, member: str) -> HttpResponse:
    """Give a member another role."""
    membership = _member(request, member)
    form = RoleForm(request.POST)
    if form.is_valid():
        return _done(request, actions.change_role, membership, role=form.cleaned_data["role"])
    messages.error(request, "Choose one of the three roles.")
    return redirect("access:people", request.collection.slug)


@needs(Role.KEEPER)
@require_POST
def renew(request: HttpRequest, member: str) -> HttpResponse:
    """Show a new one-time link for a member who cannot sign in."""
    membership = _member(request, member)
    try:
        token = actions.renew_link(membership, now=timezone.now(), lifetime=settings.LINK_LIFETIME)
    except ValidationError as refusal:
        messages.error(request, refusal.messages[0])
        return redirect("access:people", request.collection.slug)
    return _people_page(request, shown=membership, token=token)


@needs(Role.KEEPER)
@require_POST
def end(request: HttpRequest, member: str) -> HttpResponse:
    """Let a member go."""
    return _done(request, actions.end_membership, _member(request, member), now=timezone.now())


@needs(Role.KEEPER)
@require_POST
def resume(request: HttpRequest, member: str) -> HttpResponse:
    """Take a former member back."""
    return _done(request, actions.resume_membership, _member(request, member))


def refused(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Say in words why a page is not for this member."""
    return render(request, "403.html", {"reason": str(exception)}, status=403)


def stale_form(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Say in words that a form was too old or came from elsewhere."""
    sentence = "The form was open for too long, or cookies are off. Go back, reload, send again."
    return render(request, "403.html", {"reason": sentence}, status=403)


def _member(request: HttpRequest, code: str):
    return get_object_or_404(queries.members_of(request.collection), code=code)


def _done(request: HttpRequest, action, membership, **values) -> HttpResponse:
    try:
        changed = action(membership, **values)
        messages.success(request, f"{changed.name}: done.")
    except ValidationError as refusal:
        messages.error(request, refusal.messages[0])
    return redirect("access:people", request.collection.slug)


def _people_page(request: HttpRequest, form=None, shown=None, token: str = "") -> HttpResponse:
    link = request.build_absolute_uri(reverse("access:link", args=[token])) if token else ""
    context = {
        "form": form or InviteForm(collection=request.collection),
        "members": queries.members_of(request.collection),
        "roles": Role.choices,
        "shown": shown,
        "link": link,
    }
    return render(request, "access/people.html", context)
