"""The screens: each draws one page from the state; none changes it."""
