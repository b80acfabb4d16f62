"""What the command line says of a key."""

from datetime import datetime
from typing import Final

from api.access.judge_key import StoredKey
from api.access.moments import write_moment

KEY_IS_SHOWN_ONCE: Final = "The key is shown this once and is not kept; hand it over by a safe way."


def tell_key(key: StoredKey, now: datetime) -> str:
    """Tell of a key in one line: its shown part, state at a time, holder, scopes, times and id."""
    state = key.state(now)
    if key.revoked_at is not None:
        state_text = f"revoked {write_moment(key.revoked_at)}"
    else:
        state_text = f"{state} {'until' if state == 'live' else 'since'} {write_moment(key.expires_at)}"
    used = key.last_used_on.isoformat() if key.last_used_on else "never"
    return (
        f"{key.shown}: {state_text}, held by {key.holder}, for {', '.join(key.scopes)}, "
        f"made {write_moment(key.made_at)}, last used {used}, ID {key.id}"
    )
