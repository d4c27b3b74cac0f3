"""A filed paper, shown or handed out."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_safe

from collection.custody.filed.queries import filed
from registry.access.gate import needs
from registry.access.roles import Role


@needs(Role.TECHNICIAN)
@require_safe
def paper(request: HttpRequest, paper: int) -> HttpResponse:
    """A picture as a picture, a PDF as a download that nobody on the way keeps."""
    row = get_object_or_404(filed(request.collection), pk=paper)
    if row.photo_id:
        return redirect("catalogue:photo", request.collection.slug, row.photo_id, "page")
    answer = HttpResponse(bytes(row.data), content_type="application/pdf")
    answer["Content-Disposition"] = f'attachment; filename="filed-{row.pk}-{row.sha256[:8]}.pdf"'
    answer["Cache-Control"] = "private, no-store"
    answer["X-Content-Type-Options"] = "nosniff"
    return answer
