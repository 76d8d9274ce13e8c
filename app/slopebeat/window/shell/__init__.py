"""The window itself: start, menus, actions, messages, help and preferences."""
