"use strict";
(() => {
  const body = document.body;
  const press = (buttons, chosen) =>
    buttons.forEach((button) => button.setAttribute("aria-pressed", String(button === chosen)));

  const shows = [...document.querySelectorAll("[data-show]")];
  shows.forEach((button) =>
    button.addEventListener("click", () => {
      press(shows, button);
      body.classList.toggle("only-before", button.dataset.show === "before");
      body.classList.toggle("only-after", button.dataset.show === "after");
    }),
  );

  // Each figure remembers its size; of sizes that are shown together none is the pressed one.
  const figures = [...document.querySelectorAll("figure")];
  const sizesOf = (figure) => [...figure.querySelectorAll("button[data-size]")];
  figures.forEach((figure) => (figure.dataset.chosen = sizesOf(figure)[0]?.dataset.size ?? ""));
  const nest = document.querySelector("[data-nest]");
  const together = (all) => {
    body.classList.toggle("nest", all);
    nest.setAttribute("aria-pressed", String(all));
    figures.forEach((figure) =>
      sizesOf(figure).forEach((button) =>
        button.setAttribute("aria-pressed", String(!all && button.dataset.size === figure.dataset.chosen)),
      ),
    );
  };
  nest.addEventListener("click", () => together(!body.classList.contains("nest")));

  // A size is chosen for all pieces of its design that have it.
  const choose = (design, size) => {
    design.querySelectorAll("figure").forEach((figure) => {
      if (!sizesOf(figure).some((button) => button.dataset.size === size)) return;
      figure.dataset.chosen = size;
      figure
        .querySelectorAll("g[data-size],p[data-size]")
        .forEach((part) => part.toggleAttribute("hidden", part.dataset.size !== size));
    });
    together(false);
  };

  figures.forEach((figure) => {
    const design = figure.closest(".design");
    const board = figure.querySelector(".board");
    const svg = figure.querySelector("svg.piece");
    const whole = svg.getAttribute("viewBox");
    const sizes = sizesOf(figure);
    sizes.forEach((button) => button.addEventListener("click", () => choose(design, button.dataset.size)));

    const look = (box) => {
      svg.setAttribute("viewBox", box);
      figure.classList.toggle("near", box !== whole);
    };
    const box = () => svg.getAttribute("viewBox").split(" ").map(Number);
    const zoom = (by, at = null) => {
      const [x, y, w, h] = box();
      const [px, py] = at ?? [x + w / 2, y + h / 2];
      look([px - (px - x) / by, py - (py - y) / by, w / by, h / by].join(" "));
    };
    const shift = (dx, dy) => {
      const [x, y, w, h] = box();
      look([x + dx, y + dy, w, h].join(" "));
    };
    const step = (dx, dy) => {
      const [, , w, h] = box();
      shift(dx * w, dy * h);
    };
    const next = (by) => {
      const now = sizes.findIndex((button) => button.dataset.size === figure.dataset.chosen);
      if (sizes[now + by]) choose(design, sizes[now + by].dataset.size);
    };

    figure.querySelectorAll("[data-zoom]").forEach((button) =>
      button.addEventListener("click", () => {
        const by = Number(button.dataset.zoom);
        if (by) zoom(by);
        else look(whole);
      }),
    );

    const keys = {
      ArrowLeft: () => step(-0.1, 0),
      ArrowRight: () => step(0.1, 0),
      ArrowUp: () => step(0, -0.1),
      ArrowDown: () => step(0, 0.1),
      "+": () => zoom(1.4),
      "-": () => zoom(1 / 1.4),
      0: () => look(whole),
      ",": () => next(-1),
      ".": () => next(1),
    };
    board.addEventListener("keydown", (event) => {
      const act = keys[event.key];
      if (!act || event.ctrlKey || event.metaKey || event.altKey) return;
      act();
      event.preventDefault();
    });

    let from = null;
    const stop = () => (from = null);
    svg.addEventListener("pointerdown", (event) => {
      if (event.button) return;
      from = [event.clientX, event.clientY];
      svg.setPointerCapture(event.pointerId);
    });
    svg.addEventListener("pointermove", (event) => {
      if (!from) return;
      const scale = svg.getScreenCTM().a;
      shift((from[0] - event.clientX) / scale, (from[1] - event.clientY) / scale);
      from = [event.clientX, event.clientY];
    });
    svg.addEventListener("pointerup", stop);
    svg.addEventListener("pointercancel", stop);
    svg.addEventListener(
      "wheel",
      (event) => {
        if (!event.ctrlKey) return;
        event.preventDefault();
        const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
        zoom(event.deltaY < 0 ? 1.2 : 1 / 1.2, [at.x, at.y]);
      },
      { passive: false },
    );
  });
})();
