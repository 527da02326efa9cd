"""What is printed: reports, plates, paper to write on, the course's page."""
