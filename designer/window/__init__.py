"""The main window, its panels, dialogs and start page."""
