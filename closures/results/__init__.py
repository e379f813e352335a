"""How results come to stand where they go: whole or not at all, and never over what somebody else made."""
