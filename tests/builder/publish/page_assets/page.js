document.body.dataset.site = document.getElementById("site").textContent;
