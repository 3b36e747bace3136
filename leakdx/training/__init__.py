"""What a trainer needs: practice trucks with what is expected of them, and how far the knowledge meets it."""
