"""Swarfside: an offline, hands-free assistant for the operator at a manual engine lathe."""
