"""What each costs over the months it is kept: expectations, best set, break-evens, swings. Pure."""
