"""The technician's screen. It shows and gathers; what is asked, concluded and kept is the business of lower floors."""
