"""People, the collections they keep, and how they come in."""

import secrets
import zoneinfo

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.core.exceptions import ValidationError
from django.core.validators import RegexValidator
from django.db import models
from django.db.models.functions import Lower

from registry.access.roles import Role, covers

# First parts of addresses that are pages of the site; a test holds this against the URLs.
RESERVED_SLUGS = frozenset({"light", "link", "password", "sign-in", "sign-out", "static", "new"})

code_form = RegexValidator(
    r"^[a-z][a-z0-9-]{0,31}\Z",
    "Small letters, digits and hyphens, a letter first, 32 at most.",
)


def new_book() -> str:
    """A random name of 128 bits for a collection's book, as 32 hex digits."""
    return secrets.token_hex(16)


def validate_slug(slug: str) -> None:
    """Refuse a slug that is the address of a page of the site."""
    if slug in RESERVED_SLUGS:
        raise ValidationError(f"'{slug}' is the address of another page; choose another.")


def validate_zone(zone: str) -> None:
    """Refuse a time zone that the zone database does not have."""
    if zone not in zoneinfo.available_timezones():
        raise ValidationError(f"'{zone}' is not a time zone such as Europe/Lisbon.")


class PersonManager(BaseUserManager["Person"]):
    """Finds people by their sign-in name, whatever the case it is typed in."""

    def get_by_natural_key(self, username: str) -> "Person":
        return self.get(username=username.lower())


class Person(AbstractBaseUser):
    """Somebody who can sign in; what they may do stands in their memberships."""

    username = models.CharField("sign-in name", max_length=32, unique=True, validators=[code_form])
    name = models.CharField(max_length=80)
    email = models.EmailField(blank=True)
    is_active = models.BooleanField(default=True)
    added_at = models.DateTimeField(auto_now_add=True)

    USERNAME_FIELD = "username"
    EMAIL_FIELD = "email"

    objects = PersonManager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(username=Lower("username")), name="person_username_is_lower_case"
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Collection(models.Model):
    """One artist's working collection, with its own book; everything belongs to one."""

    name = models.CharField(max_length=80)
    slug = models.SlugField(
        "address", max_length=40, unique=True, validators=[code_form, validate_slug]
    )
    zone = models.CharField("time zone", max_length=64, default="UTC", validators=[validate_zone])
    currency = models.CharField(
        max_length=3,
        default="EUR",
        validators=[RegexValidator(r"^[A-Z]{3}\Z", "Three capital letters, such as EUR.")],
    )
    finder_contact = models.CharField(
        "whom a finder rings: a role, never a name", max_length=120, blank=True
    )
    book = models.CharField(max_length=32, unique=True, default=new_book, editable=False)
    opened_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~models.Q(slug__in=sorted(RESERVED_SLUGS)),
                name="collection_slug_is_not_a_page",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def zone_info(self) -> zoneinfo.ZoneInfo:
        """The zone in which 'today' is meant."""
        return zoneinfo.ZoneInfo(self.zone)


class MembershipQuerySet(models.QuerySet["Membership"]):
    """Memberships, narrowed to one collection or to those that stand."""

    def of(self, collection: Collection) -> "MembershipQuerySet":
        return self.filter(collection=collection)

    def standing(self) -> "MembershipQuerySet":
        return self.filter(ended_at=None, person__is_active=True)


class Membership(models.Model):
    """A person in a collection; never deleted, since the book names its code for ever."""

    person = models.ForeignKey(Person, models.PROTECT, related_name="memberships")
    collection = models.ForeignKey(Collection, models.PROTECT, related_name="memberships")
    role = models.CharField(max_length=10, choices=Role.choices)
    code = models.CharField("code in the book", max_length=32, validators=[code_form])
    name = models.CharField("name on pages", max_length=80)
    joined_at = models.DateTimeField(auto_now_add=True)
    ended_at = models.DateTimeField(null=True, blank=True)

    objects = MembershipQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["collection", "person"], name="one_membership_each"),
            models.UniqueConstraint(fields=["collection", "code"], name="one_member_a_code"),
            models.CheckConstraint(
                condition=models.Q(role__in=Role.values), name="membership_role_is_known"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.get_role_display().lower()}"

    def may(self, role: str) -> bool:
        """Whether this member may do what `role` may."""
        return covers(self.role, role)

    @property
    def keeps(self) -> bool:
        """Whether this member decides who may enter."""
        return self.may(Role.KEEPER)

    @property
    def records(self) -> bool:
        """Whether this member may write into the book."""
        return self.may(Role.TECHNICIAN)


class OneTimeLink(models.Model):
    """A link that signs one person in once; only a hash of it is kept."""

    person = models.ForeignKey(Person, models.CASCADE, related_name="links")
    token_hash = models.CharField(max_length=64, unique=True)
    asks_password = models.BooleanField(default=True)
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    spent_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(expires_at__gt=models.F("made_at")), name="link_expires_later"
            ),
        ]

    def __str__(self) -> str:
        return f"one-time link for {self.person}"


class ShareLink(models.Model):
    """A secret address that opens one thing to whoever holds it; only a hash of it is kept.

    What it opens is `purpose` and `code`: a job by its code, a calendar by its member's,
    a count at the truck door by its show and number, a paper or piece by the code it is of.
    """

    class Purpose(models.TextChoices):
        JOB = "job", "one job at a repairer"
        CALENDAR = "calendar", "a calendar of shows and due work"
        DOORS = "doors", "one count at the truck door"
        PAPER = "paper", "one paper or one piece"

    collection = models.ForeignKey(Collection, models.CASCADE, related_name="share_links")
    purpose = models.CharField(max_length=10, choices=Purpose.choices)
    code = models.CharField("what it opens", max_length=40)
    label = models.CharField("for whom", max_length=80)
    token_hash = models.CharField(max_length=64, unique=True)
    made_by = models.CharField(max_length=32)
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-made_at"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(purpose="calendar") | models.Q(expires_at__isnull=False),
                name="a_share_of_a_job_expires",
            ),
            models.CheckConstraint(
                condition=models.Q(expires_at__isnull=True)
                | models.Q(expires_at__gt=models.F("made_at")),
                name="a_share_expires_later",
            ),
        ]
        indexes = [models.Index(fields=["collection", "purpose", "code"], name="shares_of_a_thing")]

    def __str__(self) -> str:
        return f"{self.get_purpose_display()}, for {self.label}"


class ShareUse(models.Model):
    """One use of a share link: when, and whether something was written by it."""

    link = models.ForeignKey(ShareLink, models.CASCADE, related_name="uses")
    at = models.DateTimeField()
    wrote = models.BooleanField(default=False)

    class Meta:
        ordering = ["-at"]
        indexes = [models.Index(fields=["link", "at"], name="uses_of_a_share")]

    def __str__(self) -> str:
        return f"{'written by' if self.wrote else 'opened'} link {self.link_id}"
