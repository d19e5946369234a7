"""`python -m workshop` is the same as `workshop`."""

from workshop.cli import main

if __name__ == "__main__":
    main(prog_name="workshop")
