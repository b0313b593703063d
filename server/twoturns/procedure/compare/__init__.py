"""What is another in one edition of a procedure than in the edition before, in words."""
