"""Settings of the site; every value that may differ between machines is a `REGISTRY_*`.

Nothing set: a site for this machine alone, on SQLite under `var/`, as the demo wants it.
`REGISTRY_HOSTS` or `REGISTRY_SECRET_KEY` set: a site for others, and then both are needed.
"""

from datetime import timedelta
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

from registry import environment

BASE_DIR = Path(__file__).resolve().parent.parent
VAR = environment.folder("REGISTRY_VAR", BASE_DIR / "var")

_hosts = environment.names("REGISTRY_HOSTS")
_secret = environment.text("REGISTRY_SECRET_KEY")

DEBUG = environment.truth("REGISTRY_DEBUG", default=not (_hosts or _secret))
if not (DEBUG or _secret):
    raise ImproperlyConfigured(
        "REGISTRY_SECRET_KEY is not set; accepted: 50 or more random characters. "
        "Only a site with REGISTRY_DEBUG=yes makes its own."
    )
if not (DEBUG or _hosts):
    raise ImproperlyConfigured(
        "REGISTRY_HOSTS is not set; accepted: the names the site answers to, with commas."
    )
SECRET_KEY = _secret or environment.kept_secret(VAR / "secret-key")
ALLOWED_HOSTS = _hosts or ["localhost", "127.0.0.1", "[::1]"]
BEHIND_PROXY = environment.truth("REGISTRY_BEHIND_PROXY", default=False)

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "registry.static.StaticConfig",
    "django_filters",
    "django_htmx",
    "axes",
    "registry.access",
    "collection",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "registry.security.PolicyMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "registry.access.middleware.GateMiddleware",
    "registry.queued.QueuedMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "registry.urls"
WSGI_APPLICATION = "registry.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "registry.light.light",
                "registry.clock.clock",
                "registry.access.context.here",
            ],
        },
    },
]

# One short transaction an act: with IMMEDIATE a request-wide one would make readers queue.
DATABASES = {
    "default": environment.database("REGISTRY_DATABASE", VAR / "registry.sqlite3")
    | {"CONN_MAX_AGE": 0, "ATOMIC_REQUESTS": False}
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# Who may enter
AUTH_USER_MODEL = "access.Person"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}", "OPTIONS": options}
    for name, options in (
        ("UserAttributeSimilarityValidator", {"user_attributes": ("username", "name", "email")}),
        ("MinimumLengthValidator", {"min_length": 10}),
        ("CommonPasswordValidator", {}),
        ("NumericPasswordValidator", {}),
    )
]
LOGIN_URL = "access:sign_in"
LOGIN_REDIRECT_URL = "access:collections"
LOGOUT_REDIRECT_URL = "access:sign_in"
LINK_LIFETIME = timedelta(days=environment.whole_number("REGISTRY_LINK_DAYS", 7, least=1))

# Name and address together: neither a stranger can shut a member out, nor one guess for all.
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_FAILURE_LIMIT = environment.whole_number("REGISTRY_SIGN_IN_TRIES", 6, least=1)
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_RESET_ON_SUCCESS = True
AXES_ENABLE_ADMIN = False
AXES_VERBOSE = False
AXES_HTTP_RESPONSE_CODE = 429
AXES_LOCKOUT_TEMPLATE = "access/locked.html"
AXES_CLIENT_IP_CALLABLE = "registry.security.client_address"
AXES_USERNAME_CALLABLE = "registry.access.queries.name_tried"

# Cookies and headers; the content policy is in registry/security.py
SESSION_COOKIE_AGE = 60 * 60 * 24 * 30  # a tour leg, in seconds
SESSION_COOKIE_SAMESITE = "Lax"
X_FRAME_OPTIONS = "DENY"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
CSRF_FAILURE_VIEW = "registry.access.views.stale_form"
if not DEBUG:
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True
    SECURE_SSL_REDIRECT = True
    SECURE_HSTS_SECONDS = 60 * 60 * 24 * 365
    SECURE_HSTS_INCLUDE_SUBDOMAINS = False
    CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in ALLOWED_HOSTS if "*" not in host]
if BEHIND_PROXY:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")

# Mail: EMAIL_… and DEFAULT_FROM_EMAIL; to the console until a host is named
globals().update(environment.mail("REGISTRY_MAIL"))

# Time, words, files
USE_TZ = True
# A dossier of a piece with a long history has two boxes a line; the default of 1,000 ends at 500.
DATA_UPLOAD_MAX_NUMBER_FIELDS = 12_000
CLOCK_AHEAD = environment.kept_number(VAR / "clock")  # seconds; only a demo sets it
TIME_ZONE = "UTC"
LANGUAGE_CODE = "en-gb"
USE_I18N = False

PHOTOS = environment.folder("REGISTRY_PHOTOS", VAR / "photos")
STATIC_URL = "/static/"
STATIC_ROOT = VAR / "static"
_static = "registry.static.HashedStorage"
if DEBUG:
    _static = "django.contrib.staticfiles.storage.StaticFilesStorage"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": _static},
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {
        "registry": {"level": "INFO"},
        "collection": {"level": "INFO"},
        "django.security": {"level": "INFO"},
    },
}
