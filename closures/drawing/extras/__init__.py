"""Further sheets: everything that is drawn besides the marking templates."""
