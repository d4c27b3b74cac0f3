"""Settings sheets and set-up sheets: how a piece stood, and when that was good."""
