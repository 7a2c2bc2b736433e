"""What files hold, and a rules file to begin with: for somebody who has no rules yet."""
