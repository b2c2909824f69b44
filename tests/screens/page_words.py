"""What a page says, read without a browser."""

from __future__ import annotations

from streamlit.testing.v1 import AppTest


def words_of(app: AppTest) -> str:
    """Every word of Markdown on the page, escapes taken out."""
    kinds = (
        app.markdown,
        app.caption,
        app.title,
        app.header,
        app.subheader,
        app.error,
        app.success,
        app.info,
        app.warning,
    )
    return "\n".join(item.value for kind in kinds for item in kind).replace("\\", "")
