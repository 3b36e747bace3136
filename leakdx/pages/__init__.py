"""Pages that leave the shop: for the customer, the file, the bay and the trainer, as HTML and as PDF."""
