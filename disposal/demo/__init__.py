"""What happened to some units of the demo after they were met, up to the certificate."""
